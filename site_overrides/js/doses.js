/* The dose sheet: weight and age once, then every row by the engine on this device; in a drill its own rows, on its page four sheets.
   What is typed lives in these fields only; it is never stored and never sent. The markup is that of dose_sheets.py. */
"use strict";
(() => {
  const { make } = window.handbookParts;
  const WAIT_MS = 250;
  const blocks = [...document.querySelectorAll(".doses[data-doses]")].map((place) => ({ place, offer: JSON.parse(place.dataset.doses) }))
    .filter(({ offer }) => !offer.rules);
  const bars = [];
  const typed = { weight_kg: "", age: "", unit: "years", preterm: "", looks_adult: "", checked: "" };
  let asked = 0;
  let timer = 0;

  /* What the hand gives, the number largest: as give_html does. */
  const give = (text) => {
    const found = /^(set |up to )?([\d.\u202f]+)\u00a0(.+)$/.exec(text);
    if (!found) return [make("span", { class: "doses__words" }, text)];
    return [...(found[1] ? [make("small", {}, found[1].trim()), " "] : []), `${found[2]}\u00a0`, make("small", {}, found[3])];
  };
  const mark = (row) => row.mark ? [make("strong", { class: "doses__mark" }, row.mark), " "] : [];
  const drug = (row) => [make("b", {}, row.label), " ", make("span", { class: "doses__state" }, row.state), " ", make("span", { class: "doses__when" }, row.when)];

  const sheetRow = (row, heads) => {
    const cells = {
      drug: drug(row),
      strength: [...(row.strength ? [make("b", {}, row.strength)] : []), ...(row.make ? [" ", make("span", { class: "doses__make" }, row.make)] : [])],
      give: give(row.give),
      dose: [row.dose, ...(row.most ? [" ", make("span", { class: "doses__most" }, row.most)] : [])],
      beware: [...mark(row), row.beware],
      hand: [],
    };
    return make("tr", { "data-row": row.id }, ...heads.map(([name]) => make("td", { class: `doses__${name}` }, ...cells[name])));
  };

  const ruleRow = (row) => make("tr", { "data-row": row.id },
    make("td", { class: "doses__drug" }, ...drug(row)),
    make("td", { class: "doses__rule", translate: "no" }, make("span", { class: "doses__line doses__line--yours" }, row.text),
      ...(row.make ? [make("span", { class: "doses__line doses__make" }, row.make)] : [])),
    make("td", { class: "doses__beware" }, ...mark(row), row.beware));

  const sheet = (offer, head, rows, number) => {
    const titles = [...new Set(rows.map((row) => row.group_title))];
    const bodies = titles.map((title) => make("tbody", {},
      make("tr", { class: "doses__group" }, make("th", { colspan: String(offer.heads.length), scope: "rowgroup" }, title)),
      ...rows.filter((row) => row.group_title === title).map((row) => sheetRow(row, offer.heads))));
    return make("section", { class: "doses__sheet", tabindex: "0", "data-sheet": number, "aria-label": `${offer.titles[number]}, ${head.weight}` },
      make("div", { class: "doses__weight" }, make("p", { class: "doses__kg" }, head.weight),
        make("p", { class: "doses__who" }, make("b", {}, `${offer.titles[number]}.`), ` ${head.who}; ${head.rule}. Two people read the weight aloud.`)),
      make("p", { class: "doses__ready" }, offer.states),
      make("table", { class: "doses__table doses__table--sheet", translate: "no" },
        make("thead", {}, make("tr", {}, ...offer.heads.map(([name, words]) => make("th", { scope: "col", class: `doses__${name}` }, words)))), ...bodies),
      make("p", { class: "doses__signs" }, ...offer.signs.map((name) => make("span", {}, name))), make("p", { class: "doses__foot" }));
  };

  /* On a telephone how each strength is made stands once below the sheet; elsewhere in its row. */
  const making = (rows) => make("details", { class: "doses__making" }, make("summary", {}, "How each strength is made"),
    make("ul", {}, ...rows.filter((row) => row.make).map((row) => make("li", {}, make("b", {}, row.label), `: ${row.strength}: ${row.make}`))));

  /* The first sheet stands open; the others, on a telephone many screens, are opened when they are wanted and on paper. */
  const sheets = (offer, reply) => !reply.rows.length ? [] : Object.keys(offer.titles).flatMap((number) => {
    const rows = reply.rows.filter((row) => row.sheet === number);
    if (!rows.length) return [];
    const made = sheet(offer, reply.head, rows, number);
    if (number === "1") return [made, making(rows)];
    const names = [...new Set(rows.map((row) => row.label.split(/[ ,]/)[0]))].join(", ");
    return make("details", { class: "doses__more" }, make("summary", {}, make("b", {}, offer.titles[number]), ` ${names}`), made);
  });

  window.handbookDoses = { sheets };

  const show = (reply) => blocks.forEach((block) => {
    block.output.replaceChildren();
    const yours = reply?.ok && reply.rows.length;
    block.place.classList.toggle("doses--yours", Boolean(yours));
    if (yours) block.place.classList.remove("doses--change");
    if (block.rules) block.rules.hidden = Boolean(yours);
    if (block.change) block.change.hidden = !yours;
    if (!yours) return;
    if (block.offer.form) {
      block.output.append(...sheets(block.offer, reply));
      return;
    }
    const rows = block.offer.rows.flatMap((name) => reply.rows.filter((row) => row.id === name));
    block.output.append(make("table", { class: "doses__table doses__rules" },
      make("caption", {}, `${reply.head.weight}: ${reply.head.who}; ${reply.head.rule}`), make("tbody", {}, ...rows.map(ruleRow))));
  });

  const say = (text, question = false) => bars.forEach((bar) => {
    bar.note.textContent = text;
    bar.check.hidden = !question;
  });

  const given = () => {
    const found = {};
    if (typed.weight_kg.trim()) found.weight_kg = typed.weight_kg;
    if (typed.age.trim()) found[typed.unit === "days" ? "age_days" : "age_years"] = typed.age;
    ["preterm", "looks_adult", "checked"].forEach((name) => { if (typed[name]) found[name] = typed[name]; });
    return found;
  };

  const compute = async () => {
    const mine = ++asked;
    const known = given();
    if (!known.weight_kg || !typed.age.trim()) {
      show(null);
      say(known.weight_kg || typed.age.trim() ? "Weight and age, then every row has its mL." : "");
      return;
    }
    try {
      const reply = await handbookEngine.ask({ op: "doses", given: known });
      if (mine !== asked) return;
      show(reply);
      if (!reply.ok) say(reply.faults.map(([, sentence]) => sentence).join(" "));
      else if (reply.questions.length) say(reply.questions.join(" "), true);
      else say(`${reply.head.weight}. ${reply.head.who}; ${reply.head.rule}.`);
    } catch (error) {
      if (mine === asked) {
        show(null);
        say(error.message);
      }
    }
  };

  /* Blank at once, so that no dose stands beside a weight it was not computed from. */
  const changed = (name, value) => {
    typed[name] = value;
    if (name !== "checked") typed.checked = "";
    asked += 1;
    show(null);
    bars.forEach((bar) => Object.entries(bar.inputs).forEach(([field, input]) => { if (input.value !== typed[field]) input.value = typed[field]; }));
    clearTimeout(timer);
    timer = setTimeout(compute, WAIT_MS);
  };

  const fieldOf = (bar, name, label, number) => {
    const input = make("input", { id: `dose-${number}-${name}`, type: "text", inputmode: "decimal", autocomplete: "off", spellcheck: "false", maxlength: "12" });
    input.addEventListener("input", () => changed(name, input.value));
    bar.inputs[name] = input;
    return make("div", { class: "doses__field" }, make("label", { for: input.id }, label), input);
  };
  const choiceOf = (bar, name, label, choices, number) => {
    const input = make("select", { id: `dose-${number}-${name}`, autocomplete: "off" }, ...choices.map(([value, shown]) => make("option", { value }, shown)));
    input.addEventListener("change", () => changed(name, input.value));
    bar.inputs[name] = input;
    return make("div", { class: "doses__field" }, make("label", { for: input.id }, label), input);
  };

  const button = (label, act) => {
    const made = make("button", { type: "button", class: "doses__button" }, label);
    made.addEventListener("click", act);
    return made;
  };

  /* On a telephone the fields give their room to the sheet until they are wanted again. */
  const changeButton = (block) => {
    const made = button("Change", () => {
      block.place.classList.toggle("doses--change");
      block.place.querySelector(".doses__field input").focus();
    });
    made.classList.add("doses__change");
    made.hidden = true;
    block.change = made;
    return made;
  };

  const clearAll = () => {
    Object.assign(typed, { weight_kg: "", age: "", unit: "years", preterm: "", looks_adult: "" });
    changed("weight_kg", "");
  };

  /* A page may ask in several sections; each form is named by its own. */
  const sectionOf = (place) => {
    let before = place;
    while (before && !/^H[1-6]$/.test(before.tagName)) before = before.previousElementSibling || before.parentElement;
    return before?.firstChild ? `, ${before.firstChild.textContent.trim()}` : "";
  };

  blocks.forEach((block, at) => {
    const bar = { inputs: {}, note: make("p", { class: "doses__note", role: "status" }), check: button("Looked again: it is right", () => { changed("checked", "yes"); }) };
    const known = [["", "not stated"], ["yes", "yes"], ["no", "no"]];
    bar.check.hidden = true;
    const form = make("form", { class: "doses__bar", autocomplete: "off", novalidate: true, "aria-label": `Weight and age of one patient${sectionOf(block.place)}` },
      fieldOf(bar, "weight_kg", "Weight (kg)", at), fieldOf(bar, "age", "Age", at), choiceOf(bar, "unit", "in", [["years", "years"], ["days", "days"]], at),
      choiceOf(bar, "looks_adult", "Looks adult (8 to 17)", known, at), ...(block.offer.form ? [choiceOf(bar, "preterm", "Born preterm", known, at)] : []),
      make("div", { class: "doses__buttons" }, changeButton(block), ...(block.offer.form ? [button("New patient: clear", clearAll), button("Print these sheets", () => print())] : [])), bar.note, bar.check);
    form.addEventListener("submit", (event) => event.preventDefault());
    block.rules = block.place.querySelector(":scope > .doses__rules, :scope > .doses__all");
    block.output = make("div", { class: "doses__output" });
    block.place.prepend(form);
    block.place.append(block.output);
    bars.push(bar);
  });

  /* Paper carries the edition on every sheet; one press prints the wall. */
  addEventListener("beforeprint", () => {
    const edition = document.querySelector('meta[name="handbook-edition"]')?.content || "not stated";
    const today = new Date();
    const day = [today.getFullYear(), today.getMonth() + 1, today.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
    document.querySelectorAll(".doses__foot").forEach((foot) => {
      foot.textContent = `Edition ${edition}, build ${handbookEngine.build}, printed ${day}. Void without date and two signatures.`;
    });
  });
  document.querySelectorAll(".wall").forEach((wall) => wall.before(make("p", { class: "doses__buttons" }, button("Print all sheets for the wall", () => print()))));

  /* The back button may bring a page back as it was left: it must come back empty. */
  addEventListener("pageshow", (event) => { if (event.persisted) clearAll(); });
})();
