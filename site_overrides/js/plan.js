/* The case plan: empty fields, computed by the engine on this device with every change.
   What is typed lives in these fields only; it is never stored and never sent. */
"use strict";
(() => {
  const place = document.querySelector(".plan[data-plan]");
  if (!place) return;
  const offer = JSON.parse(place.dataset.plan);
  const top = document.querySelector('meta[name="handbook-top"]')?.content || ".";
  const WAIT_MS = 350; /* a plan takes about a second on a slow phone: wait until the typing pauses */
  const fields = new Map(); /* name -> {input, fault} */
  const lists = new Map(); /* name of a list of records -> {box, entries, fault} */
  let asked = 0;
  let timer = 0;
  let text = "";

  const make = (tag, attributes = {}, ...children) => {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (name === "class") element.className = value;
      else if (value !== false && value != null) element.setAttribute(name, value === true ? "" : value);
    }
    element.append(...children.filter((child) => child != null && child !== ""));
    return element;
  };

  const control = (field, id) => {
    const label = make("label", { for: id }, field.label + (field.unit ? ` (${field.unit})` : ""));
    const input = field.kind === "choice"
      ? make("select", { id, autocomplete: "off" }, make("option", { value: "" }, "choose"), ...field.choices.map(([word, shown]) => make("option", { value: word }, shown)))
      : make("input", { id, type: "text", inputmode: "decimal", enterkeyhint: "next", autocomplete: "off", spellcheck: "false", maxlength: "200" });
    const fault = make("p", { class: "try__fault", id: `${id}-fault`, "aria-live": "polite" });
    const hint = [field.hint, field.range ? `${field.range}${field.unit ? " " + field.unit : ""}` : ""].filter(Boolean).join("; ");
    /* One quantity in two units: the choice beside the number says under which name it is sent. */
    const unit = field.units && make("select", { id: `${id}-unit`, class: "plan__unit", autocomplete: "off", "aria-label": `Unit of ${field.label.toLowerCase()}` },
      ...field.units.map(([name, shown]) => make("option", { value: name }, shown)));
    unit?.addEventListener("input", changed);
    const told = hint ? make("p", { class: "try__hint", id: `${id}-hint` }, hint) : null;
    input.setAttribute("aria-describedby", `${id}-fault${told ? ` ${id}-hint` : ""}`);
    input.dataset.field = field.name;
    input.addEventListener("input", changed);
    return { input, fault, unit, names: field.units?.map(([name]) => name), box: make("div", { class: "try__field" }, label, unit ? make("div", { class: "plan__pair" }, input, unit) : input, fault, told) };
  };

  /* One more measurement or bolus, its fields empty. */
  const addRecord = (name) => {
    const list = lists.get(name);
    const number = list.entries.length + 1;
    const entry = new Map();
    const boxes = offer.records[name].map((field) => {
      const made = control(field, `plan-${name}-${number}-${field.name}`);
      entry.set(field.name, made.input);
      return made.box;
    });
    list.entries.push(entry);
    list.box.append(make("fieldset", { class: "plan__record" }, make("legend", {}, `${name[0].toUpperCase()}${name.slice(1)} ${number}`), make("div", { class: "try__fields" }, ...boxes)));
  };

  const listOf = (name) => {
    const box = make("div", { class: "plan__records", "data-list": name });
    const fault = make("p", { class: "try__fault", "aria-live": "polite" });
    lists.set(name, { box, fault, entries: [] });
    const add = make("button", { type: "button", class: "try__button", "data-add": name }, name === "annulus" ? "Add a measurement" : "Add a bolus");
    add.addEventListener("click", () => addRecord(name));
    addRecord(name);
    return make("div", {}, box, fault, add);
  };

  /* Short steps: each opens the next, and the return key of a keypad goes from field to field through all of them. */
  const steps = [];
  const groupOf = (group, number) => {
    const count = make("span", { class: "plan__count" });
    const box = make("details", { class: "plan__group", open: number === 0 }, make("summary", {}, group.title, " ", count),
      make("div", { class: "try__fields" }, ...group.fields.map((field) => {
        const made = control(field, `plan-${field.name}`);
        fields.set(field.name, made);
        return made.box;
      })), ...group.records.map(listOf), group.id === "own" ? ownFile() : null);
    const next = offer.groups[number + 1];
    if (next) {
      const on = make("button", { type: "button", class: "try__button plan__next" }, `Next: ${next.title}`);
      on.addEventListener("click", () => toStep(number + 1));
      box.append(on);
    }
    steps.push({ box, count });
    return box;
  };

  const inputsOf = (box) => [...box.querySelectorAll("input, select")];

  const toStep = (number) => {
    steps.forEach(({ box }, place) => { box.open = place === number; });
    steps[number].box.scrollIntoView({ block: "start" });
    inputsOf(steps[number].box)[0].focus({ preventScroll: true });
  };

  const onReturn = (event) => {
    if (event.key !== "Enter" || !event.target.matches("input, select")) return;
    event.preventDefault();
    const number = steps.findIndex(({ box }) => box.contains(event.target));
    const following = inputsOf(steps[number].box);
    const next = following[following.indexOf(event.target) + 1];
    if (next) next.focus();
    else if (steps[number + 1]) toStep(number + 1);
    else if (!strip.hidden) strip.click();
  };

  const countEntries = () => steps.forEach(({ box, count }) => {
    const entered = inputsOf(box).filter((input) => !input.matches(".plan__unit") && input.value.trim() !== "").length;
    count.textContent = entered ? `${entered} entered` : "";
  });

  /* The department's own counts out of its audit file: read here, in pieces, and kept nowhere. */
  const ownFile = () => {
    const file = make("input", { id: "plan-own-file", type: "file", accept: ".csv,text/csv" });
    const told = make("p", { class: "try__note", role: "status" }, "Or read them from your audit file; it stays on this device.");
    const ask = async (request) => {
      const reply = await handbookEngine.ask({ op: "audit", ...request });
      if (!reply.ok) throw new Error(reply.faults.map(([, sentence]) => sentence).join(" "));
      return reply;
    };
    file.addEventListener("change", async () => {
      if (!file.files[0]) return;
      try {
        const [text, schema] = await Promise.all([file.files[0].text(), fetch(`${top}/downloads/audit-columns.json`).then((answer) => answer.json())]);
        await ask({ step: "open", text, schema, options: {} });
        let reply = { left: true };
        while (reply.left) reply = await ask({ step: "check", rows: 200 });
        const { own } = reply.bad_lines ? { own: {} } : await ask({ step: "own" });
        await ask({ step: "close" });
        ["deaths", "again", "leak"].flatMap((name) => [`own_${name}_count`, `own_${name}_cases`]).forEach((name) => { fields.get(name).input.value = own[name] ?? ""; });
        told.textContent = reply.bad_lines ? `${reply.bad_lines} rows are at fault: mend them first, on the page that audits a file.` : `Counted from ${reply.good} attempts. They are of all your patients.`;
        changed();
      } catch (error) { told.textContent = error.message; }
    });
    return make("div", { class: "try__field" }, make("label", { for: file.id }, "Audit file (CSV)"), file, told);
  };

  const given = () => {
    const found = {};
    fields.forEach(({ input, unit }, name) => { if (input.value.trim() !== "") found[unit?.value || name] = input.value; });
    lists.forEach(({ entries }, name) => {
      const records = entries.map((entry) => Object.fromEntries([...entry].filter(([, input]) => input.value.trim() !== "").map(([key, input]) => [key, input.value])))
        .filter((record) => Object.keys(record).length);
      if (records.length) found[name] = records;
    });
    return found;
  };

  const output = make("div", { class: "plan__output", translate: "no" });
  const papers = make("details", { class: "plan__papers", hidden: true }, make("summary", {}, "On paper: report, letter, row, outline"));
  const written = make("div", { class: "plan__written", translate: "no" });
  const status = make("p", { class: "try__note plan__status", role: "status", "aria-live": "polite" });
  const buttons = make("div", { class: "try__buttons" });
  /* What the hands need first, and one tap to it from anywhere in the form. */
  const first = make("div", { class: "plan__first", id: "plan-first", tabindex: "-1", translate: "no", hidden: true });
  const strip = make("button", { type: "button", class: "plan__strip", translate: "no", hidden: true });
  strip.addEventListener("click", () => { first.scrollIntoView({ block: "start" }); first.focus({ preventScroll: true }); });

  /* Blank at once, so that no plan stands beside numbers it was not computed from. */
  const blank = () => {
    output.replaceChildren();
    written.replaceChildren();
    document.body.classList.remove("prints-paper");
    papers.hidden = true;
    first.replaceChildren();
    first.hidden = strip.hidden = true;
    text = "";
    printButton.disabled = copyButton.disabled = true;
  };

  function changed() {
    asked += 1;
    blank();
    countEntries();
    clearTimeout(timer);
    fields.forEach(({ input, fault }) => { fault.textContent = ""; input.removeAttribute("aria-invalid"); });
    lists.forEach(({ fault }) => { fault.textContent = ""; });
    if (!Object.keys(given()).length) {
      status.textContent = "Nothing entered yet. Only the age is required; what is missing leaves its part blank.";
      return;
    }
    status.textContent = "Computing…";
    timer = setTimeout(compute, WAIT_MS);
  }

  const compute = async () => {
    const mine = asked;
    try {
      const reply = await handbookEngine.ask({ op: "plan", given: given(), place: "plan", pictures: true });
      if (mine === asked) show(reply);
    } catch (error) {
      if (mine === asked) status.textContent = error.message;
    }
  };

  const show = (reply) => {
    blank();
    if (!reply.ok) {
      const loose = [];
      reply.faults.forEach(([name, sentence]) => {
        const field = fields.get(name) || [...fields.values()].find(({ names }) => names?.includes(name));
        const list = lists.get(name);
        if (field && field.input.value.trim() !== "") {
          field.fault.textContent = sentence;
          field.input.setAttribute("aria-invalid", "true");
          field.input.closest("details").open = true;
          loose.push(sentence);
        } else if (list) {
          list.fault.textContent = sentence;
          list.box.closest("details").open = true;
          loose.push(sentence);
        } else loose.push(sentence);
      });
      status.textContent = `No plan. ${loose.join(" ")}`;
      return;
    }
    status.textContent = `Plan computed ${new Date().toLocaleTimeString("en-GB")}. A planning aid: check each number by hand.`;
    const [decision, limits, family] = sheets(reply);
    output.append(decision, limits, ...doseSheets(reply), family);
    text = output.innerText;
    papers.hidden = false;
    fold();
    showFirst(reply);
    printButton.disabled = copyButton.disabled = false;
  };

  /* Everything but the ten lines and the warnings waits behind its title: on the screen only, paper and copy have it all. */
  const SHOWN_AT_ONCE = ["glance", "elsewhere", "warnings"];
  const fold = () => {
    output.querySelectorAll(".plan__part, .doses--plan").forEach((part) => {
      if (SHOWN_AT_ONCE.includes(part.dataset.part) || (part.dataset.part === "fit" && part.querySelector(".plan__line--warn"))) return;
      const title = part.querySelector(":scope > .plan__title");
      const opener = make("button", { type: "button", class: "plan__opener", "aria-expanded": "false" }, title ? title.textContent : "Doses for this weight");
      opener.addEventListener("click", () => {
        part.toggleAttribute("data-folded");
        opener.setAttribute("aria-expanded", String(!part.hasAttribute("data-folded")));
      });
      part.dataset.folded = "";
      part.before(opener);
    });
  };

  /* Balloon, contrast left and the rule to stop, in the words of the ten lines. */
  const KEYS = [["balloon", "Balloon", /^BALLOON /], ["contrast", "Contrast", /^CONTRAST /], ["stop", "Stop", /^STOP: /]];
  const showFirst = (reply) => {
    const lines = reply.plan.glance.map((line) => line.text);
    const found = KEYS.map(([id, title, begins]) => [id, title, lines.find((line) => begins.test(line)), begins]).filter(([, , line]) => line);
    const words = (line, begins) => line.replace(begins, "");
    first.replaceChildren(...found.map(([id, title, line, begins]) => make("p", { class: `plan__key plan__key--${id}` }, make("strong", {}, title), " ", words(line, begins))));
    const short = (id) => found.filter(([one]) => one === id).map(([, , line, begins]) => words(line, begins).split(/ = |: |[.] /)[id === "contrast" ? 1 : 0]);
    strip.replaceChildren(make("span", {}, [...short("balloon"), ...short("contrast")].join("; ")), make("strong", {}, "See the plan"));
    first.hidden = strip.hidden = false;
  };

  const link = (href, shown, kind) => make("a", { href: `${top}/${href}`, class: kind }, shown);

  const lineOf = (line) => {
    const paragraph = make("p", { class: `plan__line plan__line--${line.kind}` });
    if (line.kind === "stop") paragraph.append(make("strong", { class: "plan__mark" }, "Stop."), " ");
    const capitals = line.kind === "glance" ? /^[A-Z]{2,}(?: [A-Z]{2,})*/.exec(line.text)?.[0] ?? "" : "";
    if (capitals) paragraph.append(make("strong", {}, capitals));
    paragraph.append(line.text.slice(capitals.length));
    if (line.formula) paragraph.append(" ", link(`reference/formulas.html#${line.formula}`, make("code", {}, line.formula), "plan__source"));
    if (line.table) paragraph.append(" ", link(`reference/tables.html#${line.table}`, "table", "plan__source"));
    if (line.seen === "memory") paragraph.append(" ", make("span", { class: "mark mark--memory" }, "recalled"));
    return paragraph;
  };

  const tableOf = (table) => {
    const body = table.rows.map((row, number) => make("tr", {}, ...row.map((cell, column) => make("td", { "data-label": table.heads[column] },
      column === 0 && table.links.length ? link(`reference/tables.html#${table.links[number]}`, cell, "") : cell))));
    const wrap = make("div", { class: "table-wrap", role: "group", tabindex: "0", "aria-label": "Table: " + table.heads.slice(0, 3).join(", ") },
      make("table", { class: "cards plan__table" }, make("thead", {}, make("tr", {}, ...table.heads.map((head) => make("th", { scope: "col" }, head)))), make("tbody", {}, ...body)));
    if (table.folded) return [make("details", {}, make("summary", {}, `${table.title} (${table.rows.length})`), wrap)];
    return table.title ? [make("p", { class: "plan__caption" }, table.title), wrap] : [wrap];
  };

  const drawn = (svg) => {
    const drawing = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
    return make("figure", { class: "picture" }, document.importNode(drawing, true));
  };

  const partOf = (part, reply) => {
    const [chapter, heading] = part.chapter.split("#");
    const address = offer.chapters[chapter] && offer.chapters[chapter] + (heading ? `#${heading}` : "");
    const title = address ? link(address, part.title, "") : part.title;
    const box = make("div", { class: "plan__part", "data-part": part.id }, make("p", { class: "plan__title" }, title));
    if (part.id === "sizing" && reply.picture) box.append(drawn(reply.picture));
    box.append(...part.lines.map(lineOf), ...part.tables.flatMap(tableOf));
    if (part.id === "elsewhere") box.append(make("p", { class: "plan__line" }, link(address, "Open the chapter for this case", "")));
    if (part.id === "family") box.append(make("div", { class: "plan__icons" }, ...reply.icons.map(drawn)));
    return box;
  };

  /* Doses are the sheets of the page of doses, each one page on paper. */
  const isDoses = (part, reply) => part.id === "drugs" && reply.plan.drugs.length > 0;
  const doseSheets = (reply) => reply.plan.drugs.length
    ? [make("div", { class: "doses doses--page doses--plan" }, ...handbookDoses.sheets(offer.doses, { rows: reply.plan.drugs, head: reply.dose_head }))] : [];

  const footWords = () => document.querySelector(".print-foot")?.textContent.replace(/\s+/g, " ").trim() || "";

  const SHEETS = [["1", "Decision and sizing"], ["2", "Limits and checklist"], ["3", "For the family"]];

  /* Three sheets; each carries edition, build and date, the two for the team the inputs, the family's none. */
  const sheets = (reply) => {
    const edition = document.querySelector('meta[name="handbook-edition"]')?.content || "not stated";
    const entered = reply.sections.find((part) => part.id === "inputs").lines[0].text;
    return SHEETS.map(([sheet, title]) => {
      const parts = reply.sections.filter((part) => part.sheet === sheet && !isDoses(part, reply) && (part.lines.length || part.tables.length));
      const stamp = `Edition ${edition}, build ${handbookEngine.build}, computed ${new Date().toLocaleString("en-GB")}. No name, no number.`;
      return make("section", { class: "plan__sheet", "data-sheet": sheet, "aria-label": title },
        make("p", { class: "plan__stamp" }, make("strong", {}, title), ` · ${stamp}`),
        sheet !== "2" ? null : make("p", { class: "plan__entered" }, `Entered: ${entered}`),
        ...parts.map((part) => partOf(part, reply)),
        make("p", { class: "plan__operator" }, sheet === "3" ? "Talked through by: ____________________   on: ____________" : "Operator has checked each number by hand: ____________________   on: ____________"),
        make("p", { class: "plan__foot" }, footWords()));
    });
  };

  const clearAll = () => {
    fields.forEach(({ input, unit }) => { input.value = ""; if (unit) unit.selectedIndex = 0; });
    lists.forEach((list, name) => { list.box.replaceChildren(); list.entries = []; addRecord(name); });
    document.querySelectorAll("#plan-own-file").forEach((file) => { file.value = ""; });
    rowFields.forEach(([, input]) => { input.value = ""; });
    changed();
  };

  const copyOf = async (whole, pressed) => {
    const before = pressed.textContent;
    try {
      await navigator.clipboard.writeText(whole);
      pressed.textContent = "Copied";
    } catch {
      const area = make("textarea", { class: "try__copied", rows: "8", readonly: true, "aria-label": "Text to copy" });
      area.value = whole;
      pressed.parentElement.after(area);
      area.select();
      area.addEventListener("blur", () => area.remove());
    }
    setTimeout(() => { pressed.textContent = before; }, 2000);
  };
  const copy = () => copyOf(`${text}\nPlanning and teaching aid, not a medical device. No name, no number.`, copyButton);

  /* A paper of this case: its modules come only when one is asked for. */
  const PAPERS = [["report", "Procedure report"], ["letter", "Letter"], ["outline", "Outline to teach from"], ["row", "Row of the audit file"]];
  const rowFields = [["attempt", "Attempt: your own running number"], ["date", "Date of the attempt (year-month-day)"]].map(([name, label]) => {
    const input = make("input", { id: `plan-row-${name}`, type: "text", autocomplete: "off", spellcheck: "false", maxlength: "24" });
    input.addEventListener("input", () => written.replaceChildren());
    return [name, input, make("div", { class: "try__field" }, make("label", { for: input.id }, label), input)];
  });

  const write = async (kind, title) => {
    const mine = asked;
    const extra = Object.fromEntries(rowFields.map(([name, input]) => [name, input.value.trim()]));
    written.replaceChildren(make("p", { class: "try__note", role: "status" }, "Writing…"));
    let reply;
    try {
      reply = await handbookEngine.ask({ op: "plan", paper: kind, given: given(), ...extra });
    } catch (error) {
      reply = { ok: false, faults: [["", error.message]] };
    }
    if (mine !== asked) return;
    if (!reply.ok) {
      written.replaceChildren(...reply.faults.map(([, sentence]) => make("p", { class: "try__fault", role: "alert" }, sentence)));
      return;
    }
    const copying = button("Copy", () => copyOf(reply.text, copying));
    const acts = make("div", { class: "try__buttons" }, copying);
    if (kind === "row") {
      acts.append(make("a", { class: "try__button", download: "attempt.csv", href: URL.createObjectURL(new Blob([reply.text], { type: "text/csv" })) }, "Save as CSV"));
    } else {
      acts.append(button("Print this paper", () => { document.body.classList.add("prints-paper"); print(); document.body.classList.remove("prints-paper"); }));
    }
    written.replaceChildren(make("p", { class: "plan__caption" }, title), make("pre", { class: "plan__paper", tabindex: "0", "data-paper": kind }, reply.text), acts);
  };

  const button = (label, act) => {
    const made = make("button", { type: "button", class: "try__button" }, label);
    made.addEventListener("click", act);
    return made;
  };
  const printButton = button("Print the sheets", () => print());
  const copyButton = button("Copy as text", copy);
  buttons.append(button("New patient: clear everything", clearAll), printButton, copyButton);

  const form = make("form", { class: "plan__form try", autocomplete: "off", novalidate: true, "aria-label": "One patient's numbers" },
    make("p", { class: "worked__caution" }, "No name, no number. Nothing is stored or sent. Blank stays blank: nothing is filled in for you."),
    ...offer.groups.map(groupOf), strip, status, buttons);
  form.addEventListener("keydown", onReturn);
  form.addEventListener("submit", (event) => event.preventDefault());
  papers.append(make("p", { class: "try__note" }, "Written from what was entered; a blank is said as a blank. The row needs your own running number and the day."),
    make("div", { class: "try__fields" }, ...rowFields.map(([, , box]) => box)),
    make("div", { class: "try__buttons" }, ...PAPERS.map(([kind, title]) => button(title, () => write(kind, title)))), written);
  place.replaceChildren(form, first, output, papers);
  document.body.classList.add("has-plan");
  document.head.append(make("link", { rel: "stylesheet", href: `${top}/css/plan-paper.css` }));

  /* Letters as large as three sheets allow, of A4 and of Letter: a short case need not be read at the size of the longest.
     The rules for paper are put on for one measurement; nothing is painted in between. */
  const WIDTH_MM = 190;
  const HEIGHT_MM = 262;
  const SIZES = [1.3, 1.25, 1.2, 1.15, 1.1, 1.05, 1, 0.95, 0.9, 0.85, 0.8];
  const fit = () => {
    const printed = document.querySelectorAll(".plan__sheet");
    if (!printed.length) return; /* from a folder there is no plan, and no rule may be read */
    const rules = [...document.styleSheets].flatMap((sheet) => [...sheet.cssRules]).filter((rule) => rule instanceof CSSMediaRule);
    const media = rules.map((rule) => rule.media.mediaText);
    rules.forEach(({ media: one }) => { one.mediaText = /print/.test(one.mediaText) ? "all" : /screen/.test(one.mediaText) ? "not all" : one.mediaText; });
    printed.forEach((sheet) => {
      sheet.style.removeProperty("--plan-fit");
      const fits = (size) => {
        sheet.style.width = `${WIDTH_MM / size}mm`;
        return sheet.offsetHeight * size <= HEIGHT_MM * 96 / 25.4;
      };
      sheet.style.setProperty("--plan-fit", SIZES.find(fits) ?? SIZES.at(-1));
      sheet.style.width = "";
    });
    rules.forEach((rule, number) => { rule.media.mediaText = media[number]; });
  };

  /* The foot's own date of printing is filled in by the page's shell just before. */
  addEventListener("beforeprint", () => {
    document.querySelectorAll(".plan__foot").forEach((foot) => { foot.textContent = footWords(); });
    fit();
  });

  /* The back button may bring a page back as it was left: it must come back empty. */
  addEventListener("pageshow", (event) => { if (event.persisted) clearAll(); });
  changed();
})();
