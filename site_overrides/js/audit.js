/* Audit of a file that the reader chooses: read in this page, counted by the engine in pieces, never stored and never sent. */
"use strict";
(() => {
  const place = document.getElementById("audit");
  if (!place) return;
  const { make, textTable } = handbookParts;
  const offer = JSON.parse(place.dataset.audit);
  const ROWS = 100; /* of one piece */
  const MOST_BYTES = 10 * 1024 * 1024;
  const SHOWN_FAULTS = 100;
  const SAVE_AS = "Save the table as “CSV UTF-8”.";
  const fields = new Map();
  let run = 0;

  const labelled = (name, words, input, hint) => {
    input.id = `audit-${name}`;
    fields.set(name, input);
    const told = hint && make("p", { class: "try__hint", id: `audit-${name}-hint` }, hint);
    if (told) input.setAttribute("aria-describedby", told.id);
    return make("div", { class: "try__field" }, make("label", { for: input.id }, words), input, told);
  };
  const choice = (name, words, options, blank, hint) => labelled(name, words, make("select", { autocomplete: "off" },
    blank && make("option", { value: "" }, blank), ...options.map(([value, shown]) => make("option", { value }, shown))), hint);
  const number = (name, words, hint) => labelled(name, words, make("input", { type: "text", inputmode: "decimal", autocomplete: "off", maxlength: "20" }), hint);

  const file = make("input", { type: "file", accept: ".csv,.txt,text/csv", class: "audit__file" });
  const partial = make("input", { type: "checkbox", id: "audit-partial" });
  const start = make("button", { type: "button", class: "try__button" }, "Count the file");
  const printing = make("button", { type: "button", class: "try__button", hidden: true }, "Print the result");
  const forget = make("button", { type: "button", class: "try__button" }, "Forget the file");
  const status = make("p", { class: "audit__status", role: "status", "aria-live": "polite" });
  const faults = make("div", { class: "audit__faults" });
  const result = make("div", { class: "audit__result" });
  const rate = "A fraction such as 0.09; chosen before the list is opened.";
  const form = make("form", { class: "try audit__form", autocomplete: "off", novalidate: true, "aria-label": "Your file" },
    labelled("file", "The file (CSV)", file, `Up to ${offer.most_rows} rows. It stays in this page.`),
    make("div", { class: "try__fields" }, choice("quantity", "Gradient of the results at once", offer.quantities, "")),
    make("details", {}, make("summary", {}, "Charts case by case (optional)"), make("div", { class: "try__fields" },
      choice("definition", "Chart of success by", offer.definitions, "no chart"), number("acceptable_fraction", "Acceptable rate of failure", rate),
      number("unacceptable_fraction", "Unacceptable rate of failure", rate), choice("event", "Chart of events", offer.events, "no chart"),
      number("event_acceptable_fraction", "Acceptable rate of events", rate), number("event_unacceptable_fraction", "Unacceptable rate of events", rate),
      number("alpha", "Alpha", `Chance of a false alarm; blank takes ${offer.errors}.`), number("beta", "Beta", `Chance of missing the unacceptable rate; blank takes ${offer.errors}.`))),
    make("p", { class: "try__tick" }, partial, " ", make("label", { for: partial.id }, "Leave out rows at fault, and say which and why")),
    make("div", { class: "try__buttons" }, start, printing, forget), status);
  form.addEventListener("submit", (event) => event.preventDefault());
  place.replaceChildren(form, faults, result);

  const blank = () => {
    faults.replaceChildren();
    result.replaceChildren();
    printing.hidden = true;
    document.body.classList.remove("has-audit");
  };
  const say = (text) => { status.textContent = text; };
  const changed = () => { run += 1; blank(); say(""); };
  form.addEventListener("input", changed);

  class Refused extends Error {
    constructor(sentences) { super(sentences.join(" ")); this.sentences = sentences; }
  }

  /* One step of the engine; a newer run or a refusal ends this one. */
  const ask = async (mine, request) => {
    const reply = await handbookEngine.ask({ op: "audit", ...request });
    if (mine !== run) throw new Refused([]);
    if (!reply.ok) throw new Refused(reply.faults.map(([, sentence]) => sentence));
    return reply;
  };

  /* Text of the file, or what is wrong with it as a whole; nothing is guessed. */
  const textOf = async (chosen) => {
    if (chosen.size > MOST_BYTES) throw new Refused(["The file is larger than this page takes. Use the command line: python -m pvcalc audit FILE.csv --out DIR."]);
    const bytes = new Uint8Array(await chosen.arrayBuffer());
    if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) throw new Refused([`The file is in UTF-16, not in UTF-8. ${SAVE_AS}`]);
    if (bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3 && bytes[3] === 4) throw new Refused([`The file is a spreadsheet's own format, not CSV. ${SAVE_AS}`]);
    try {
      return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
    } catch {
      throw new Refused([`The file is not in UTF-8, perhaps in Windows-1252. ${SAVE_AS}`]);
    }
  };

  const dayOf = (now) => [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");

  const listOf = (sentences) => make("ul", {}, ...sentences.map((sentence) => make("li", {}, sentence)));

  const showFaults = async (mine, rows) => {
    const told = [];
    let left = 1;
    while (left) {
      const reply = await ask(mine, { step: "faults", most: 200 });
      told.push(...reply.told);
      left = reply.left;
    }
    faults.append(make("p", { class: "worked__caution" }, `${rows} rows are at fault, with ${told.length} faults:`), listOf(told.slice(0, SHOWN_FAULTS)));
    if (told.length > SHOWN_FAULTS) faults.append(make("details", {}, make("summary", {}, `${told.length - SHOWN_FAULTS} more`), listOf(told.slice(SHOWN_FAULTS))));
  };

  const drawn = (svg) => make("figure", { class: "picture" }, document.importNode(new DOMParser().parseFromString(svg, "image/svg+xml").documentElement, true));

  const showSection = async (mine, at, box) => {
    const { section, left } = await ask(mine, { step: "section", section: at });
    const part = make("section", { class: "audit__part", "data-part": section.id }, make("h3", {}, section.title), ...section.lines.map((line) => make("p", {}, line)));
    for (let at_picture = 0; at_picture < section.pictures; at_picture += 1) {
      const { picture, sentence } = await ask(mine, { step: "picture", section: at, number: at_picture, place: `audit-${section.id.replaceAll("_", "-")}-${at_picture}` });
      part.append(picture ? drawn(picture) : make("p", { class: "worked__caution" }, sentence));
    }
    section.tables.forEach((table) => part.append(...[table.title ? make("p", { class: "audit__caption" }, table.title) : "", textTable(table.heads, table.rows)].filter(Boolean)));
    box.append(part);
    return left;
  };

  const count = async (mine) => {
    const chosen = file.files[0];
    if (!chosen) throw new Refused(["Choose a file first."]);
    const options = Object.fromEntries([...fields].filter(([name, input]) => name !== "file" && input.value.trim() !== "").map(([name, input]) => [name, input.value]));
    say("Reading the file…");
    const text = await textOf(chosen);
    const { rows } = await ask(mine, { step: "open", text, schema: offer.schema, options, today: dayOf(new Date()) });
    let reply = { left: true };
    while (reply.left) {
      reply = await ask(mine, { step: "check", rows: ROWS });
      say(`${reply.good + reply.bad_lines} of ${rows} rows looked at…`);
    }
    if (reply.bad_lines) {
      await showFaults(mine, reply.bad_lines);
      if (!partial.checked) throw new Refused([`${reply.bad_lines} of ${reply.good + reply.bad_lines} rows are at fault. No result; mend them, or tick that they are left out.`]);
    }
    say("Counting…");
    for (let left = 1; left;) left = (await ask(mine, { step: "compute" })).left;
    const box = document.createDocumentFragment();
    const edition = document.querySelector('meta[name="handbook-edition"]')?.content || "not stated";
    box.append(make("p", { class: "audit__stamp" }, `File ${chosen.name}; edition ${edition}, build ${handbookEngine.build}, computed ${new Date().toLocaleString("en-GB")}. No name, no number. A unit's numbers do not judge a person.`));
    if (reply.bad_lines) box.append(make("p", { class: "worked__caution" }, `Partial: ${reply.bad_lines} rows at fault were left out; they are listed above.`));
    for (let at = 0, left = 1; left; at += 1) left = await showSection(mine, at, box);
    await ask(mine, { step: "close" });
    result.replaceChildren(make("h2", {}, "The result"), box);
    printing.hidden = false;
    document.body.classList.add("has-audit");
    say(`Done: ${reply.good} attempts counted.`);
  };

  start.addEventListener("click", async () => {
    const mine = ++run;
    blank();
    try {
      await count(mine);
    } catch (error) {
      if (mine !== run) return;
      const sentences = error.sentences || [error.message];
      say(sentences.length === 1 ? sentences[0] : "No result:");
      if (sentences.length > 1) faults.prepend(listOf(sentences));
    }
  });
  printing.addEventListener("click", () => print());
  const clear = () => { form.reset(); changed(); };
  forget.addEventListener("click", clear);

  /* The back button may bring a page back as it was left: it must come back empty. */
  addEventListener("pageshow", (event) => { if (event.persisted) clear(); });
})();
