/* "Try your own numbers": empty fields beside a worked example, computed by the engine on this device.
   What is typed lives in these fields only; it is never stored and never sent. */
"use strict";
(() => {
  const blocks = [];
  const typed = new Map(); /* argument name -> what the reader typed on this page */

  const make = (tag, attributes = {}, ...children) => {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (name === "class") element.className = value || "";
      else if (value !== false && value != null) element.setAttribute(name, value === true ? "" : value);
    }
    element.append(...children.filter((child) => child != null && child !== ""));
    return element;
  };

  const tableOf = (heads, rows, kind) => make("div", { class: "table-wrap", role: "group", tabindex: "0", "aria-label": "Table: " + heads.slice(0, 3).join(", ") },
    make("table", { class: `cards ${kind}` },
      make("thead", {}, make("tr", {}, ...heads.map((head) => make("th", { scope: "col" }, head)))), make("tbody", {}, ...rows)));

  const rowsTable = (heads, rows) => tableOf(heads, rows.map((row) => make("tr", {},
    ...row.map((cell, place) => make("td", { "data-label": heads[place], class: String(cell).length > 40 && "wordy" }, cell)))), "records");

  const words = (value) => Array.isArray(value) ? value.join("; ") : String(value);

  class Block {
    constructor(place, number) {
      this.offer = JSON.parse(place.dataset.try);
      this.place = place;
      this.number = number;
      this.asked = 0;
      this.isExample = false;
      this.fields = new Map();
      this.button = make("button", { type: "button", class: "try__open", "aria-expanded": "false" }, "Try your own numbers");
      this.button.addEventListener("click", () => this.toggle());
      place.append(this.button);
    }

    toggle() {
      if (!this.form) this.build();
      this.form.hidden = !this.form.hidden;
      this.button.setAttribute("aria-expanded", String(!this.form.hidden));
      if (this.form.hidden) return;
      this.travelIn();
      this.say("Loading the engine of this page…");
      handbookEngine.start().then(() => { if (!this.asked) this.compute(); }, (error) => this.say(error.message));
      this.fields.values().next().value?.input.focus();
    }

    build() {
      this.form = make("form", { class: "try__form", autocomplete: "off", novalidate: true, hidden: true, "aria-label": `Your own numbers: ${this.offer.title || "these documents"}` });
      this.form.addEventListener("submit", (event) => event.preventDefault());
      this.banner = make("p", { class: "try__example", hidden: true });
      const list = make("div", { class: "try__fields" });
      this.offer.fields.forEach((field) => { if (field.kind !== "records") list.append(this.field(field)); });
      this.output = make("div", { class: "try__output", role: "status", "aria-live": "polite" });
      this.picture = make("div", { class: "try__picture" });
      const settings = this.offer.settings_words ? make("p", { class: "try__settings" }, `Department settings used: ${this.offer.settings_words}.`) : null;
      this.copyButton = make("button", { type: "button", class: "try__button", hidden: true }, "Copy as text");
      this.copyButton.addEventListener("click", () => this.copy());
      const fill = make("button", { type: "button", class: "try__button" }, "Fill in the example");
      fill.addEventListener("click", () => this.fill());
      const clear = make("button", { type: "button", class: "try__button" }, "New patient: clear this page");
      clear.addEventListener("click", clearAll);
      const notFor = this.offer.not_for ? make("p", { class: "worked__caution" }, `Not for: ${this.offer.not_for}`) : null;
      this.form.append(...[notFor, list, settings, this.banner, this.output, this.picture,
        make("div", { class: "try__buttons" }, fill, clear, this.copyButton)].filter(Boolean));
      this.place.append(this.form);
    }

    field(field) {
      const id = `try-${this.number}-${field.name}`;
      const label = make("label", { for: id }, field.label + (field.unit ? ` (${field.unit})` : ""));
      let input;
      if (field.kind === "choice" || field.kind === "flag") {
        input = make("select", { id, autocomplete: "off" }, make("option", { value: "" }, "choose"));
        (field.choices || ["yes", "no"]).forEach((choice) => input.append(make("option", { value: choice }, choice.replaceAll("_", " "))));
      } else if (field.kind === "list") {
        input = make("textarea", { id, rows: "3", inputmode: "decimal", autocomplete: "off", spellcheck: "false" });
      } else {
        input = make("input", { id, type: "text", inputmode: "decimal", autocomplete: "off", spellcheck: "false", maxlength: "200" });
      }
      const hint = make("p", { class: "try__hint", id: `${id}-hint` }, [field.meaning, field.range ? `Allowed: ${field.range}.` : ""].filter(Boolean).join(" "));
      const fault = make("p", { class: "try__fault", id: `${id}-fault`, "aria-live": "polite" });
      const echo = make("p", { class: "try__echo", id: `${id}-echo` });
      input.setAttribute("aria-describedby", `${id}-fault ${id}-echo ${id}-hint`);
      input.addEventListener("input", () => this.changed(field.name));
      this.fields.set(field.name, { input, fault, echo, label: label.textContent, unit: field.unit, kind: field.kind });
      return make("div", { class: "try__field" }, label, input, fault, echo, hint);
    }

    changed(name) {
      if (this.isExample) this.say_example("Example numbers with your changes: not a patient.");
      else {
        typed.set(name, this.fields.get(name).input.value);
        blocks.forEach((block) => { if (block !== this) block.travel(name); });
      }
      this.compute();
    }

    /* A value typed elsewhere on the page arrives; an example never takes it. */
    travel(name) {
      if (!this.form || this.isExample || !this.fields.has(name)) return;
      if (this.set(name, typed.get(name))) this.compute();
    }

    travelIn() {
      if (!this.isExample) typed.forEach((value, name) => { if (this.fields.has(name)) this.set(name, value); });
    }

    /* True when the field took the value: a choice takes only a word it offers. */
    set(name, value) {
      const { input } = this.fields.get(name);
      const before = input.value;
      if (input.tagName === "SELECT" && ![...input.options].some((option) => option.value === value)) return false;
      input.value = value;
      return input.value !== before;
    }

    say_example(text) {
      this.banner.textContent = text;
      this.banner.hidden = !text;
    }

    fill() {
      this.isExample = true;
      this.say_example("Example numbers: not a patient.");
      this.fields.forEach((_, name) => {
        const value = this.offer.example[name];
        this.set(name, value === undefined ? "" : this.fields.get(name).kind === "flag" ? (value ? "yes" : "no") : words(value));
      });
      this.compute();
    }

    clear() {
      if (!this.form) return;
      this.isExample = false;
      this.say_example("");
      this.fields.forEach(({ input, fault }) => { input.value = ""; fault.textContent = ""; input.removeAttribute("aria-invalid"); });
      this.compute();
    }

    given() {
      const given = {};
      this.fields.forEach(({ input }, name) => { if (input.value.trim() !== "") given[name] = input.value; });
      return given;
    }

    /* Blank at once, so that no result stands beside numbers it was not computed from. */
    blank() {
      this.output.replaceChildren();
      this.picture.replaceChildren();
      this.copyButton.hidden = true;
      this.result = null;
    }

    say(text) {
      this.blank();
      this.output.append(make("p", { class: "try__note" }, text));
    }

    async compute() {
      const asked = ++this.asked;
      this.blank();
      const given = this.given();
      const request = this.offer.tables
        ? { op: "block", tables: this.offer.tables, given, window: this.offer.window }
        : { op: "block", formula: this.offer.formula, given, settings: this.offer.settings, figure: this.offer.figure || null, place: `try-${this.number}` };
      try {
        const reply = await handbookEngine.ask(request);
        if (asked === this.asked) this.show(reply, given);
      } catch (error) {
        if (asked === this.asked) this.say(error.message);
      }
    }

    show(reply, given) {
      const missing = [];
      const loose = [];
      const faults = new Map();
      const read = new Map(reply.read || []);
      (reply.ok ? [] : reply.faults).forEach(([name, sentence]) => {
        if (this.fields.has(name) && !(name in given)) missing.push(this.fields.get(name).label);
        else if (this.fields.has(name)) faults.set(name, sentence);
        else loose.push(sentence);
      });
      this.fields.forEach(({ input, fault, echo }, name) => {
        const sentence = faults.get(name) || "";
        const plain = (read.get(name) || "").split("\u00a0")[0];
        echo.textContent = !sentence && plain && plain !== input.value.trim() ? `Read as ${read.get(name)}.` : "";
        if (fault.textContent !== sentence) fault.textContent = sentence;
        if (sentence) input.setAttribute("aria-invalid", "true");
        else input.removeAttribute("aria-invalid");
      });
      this.blank();
      if (!reply.ok) {
        const told = [...loose];
        if (missing.length && !faults.size) told.push(`Still needed: ${missing.join(", ")}.`);
        if (faults.size) told.push("No result."); /* the sentence stands at its field and is announced there */
        told.forEach((text) => this.output.append(make("p", { class: "try__note" }, text)));
        return;
      }
      if (reply.rows) this.showRows(reply, given);
      else this.showResult(reply, given);
    }

    showResult(reply, given) {
      const label = (text) => make("span", { class: "worked__label" }, text || "Result");
      const singles = reply.parts.filter((part) => "text" in part);
      const result = make("p", { class: "worked__result" },
        ...singles.map((part) => make("span", { class: "worked__part" }, label(part.label), " ", make("output", {}, part.text))));
      if (reply.seen === "memory") result.append(" ", make("span", { class: "mark mark--memory" }, "recalled"));
      const tables = reply.parts.filter((part) => part.rows).map((part, place) => make("details", { open: place === 0 },
        make("summary", {}, `${part.label} (${part.rows.length})`), rowsTable(part.heads, part.rows)));
      const finish = () => {
        this.result = singles.map((part) => (part.label ? `${part.label} ` : "") + part.text).join("; ")
          + (reply.seen === "memory" ? " (recalled coefficients: confirm before use)" : "") + reply.asks.map((text) => `\n${text}`).join("");
        this.copyGiven = given;
        this.copyButton.hidden = false;
        this.output.append(result, ...tables);
        this.drawPicture(reply);
      };
      /* A note, such as a cap that applies, stands with the result; a question comes first and waits for the tick. */
      reply.asks.forEach((text) => this.output.append(make("p", { class: text.includes("?") ? "worked__question" : "worked__caution" }, text)));
      if (!reply.held) return finish();
      const tick = make("input", { type: "checkbox", id: `try-${this.number}-tick` });
      tick.addEventListener("change", () => { tick.disabled = true; finish(); });
      this.output.append(make("p", { class: "try__tick" }, tick, " ", make("label", { for: tick.id }, "I have looked again: the numbers are right")));
    }

    drawPicture(reply) {
      this.picture.replaceChildren();
      if (reply.picture) {
        const drawing = new DOMParser().parseFromString(reply.picture, "image/svg+xml").documentElement;
        this.picture.append(make("figure", { class: "picture" }, document.importNode(drawing, true)));
      }
      (reply.picture_faults || []).forEach(([, sentence]) => this.picture.append(make("p", { class: "try__note" }, `No picture: ${sentence}`)));
    }

    showRows(reply, given) {
      const heads = ["Document", "Answer", "Why", "Seen"];
      const line = (text) => text ? [make("br"), text] : [];
      const body = reply.rows.map((row) => {
        const cells = [
          [make("a", { href: `${handbookTop}/reference/tables.html#${row.table}` }, row.document), ...line(row.superseded), ...line(row.mark)],
          [make("span", { class: `answer answer--${row.answer}` }, row.words), ...line(row.grade), ...line(row.advice)],
          [row.why, ...(row.cut_off ? [make("br"), make("strong", {}, row.cut_off)] : []),
            ...row.cautions.flatMap((text) => [make("br"), make("span", { class: "worked__caution" }, text)]), ...line(row.assumed)],
          [make("span", { class: `mark mark--${row.seen}` }, row.seen === "memory" ? "recalled" : row.seen), ...line(row.recalled)],
        ];
        return make("tr", {}, ...cells.map((cell, place) => make("td", { "data-label": heads[place] }, ...cell)));
      });
      this.output.append(tableOf(heads, body, "documents"));
      this.result = reply.rows.map((row) => `${row.document}: ${[row.words, row.grade, row.cut_off, row.mark, row.seen === "memory" ? "recalled" : ""].filter(Boolean).join("; ")}`).join("\n");
      this.copyGiven = given;
      this.copyButton.hidden = false;
    }

    copy() {
      const lines = [this.offer.title || document.title];
      if (this.isExample) lines.push(this.banner.textContent);
      this.fields.forEach(({ label }, name) => { if (name in this.copyGiven) lines.push(`${label}: ${this.copyGiven[name].trim()}`); });
      if (this.offer.settings_words) lines.push(`Department settings: ${this.offer.settings_words}`);
      lines.push(`Result: ${this.result}`);
      if (this.offer.formula) lines.push(`Formula: ${this.offer.formula}`, `Valid: ${this.offer.population}`, `Source: ${this.offer.source}`);
      if (this.offer.not_for) lines.push(`Not for: ${this.offer.not_for}`);
      lines.push(`Edition ${document.querySelector('meta[name="handbook-edition"]')?.content || "not stated"}, build ${handbookEngine.build}, ${new Date().toLocaleString("en-GB")}`,
        "Planning and teaching aid, not a medical device. No name, no number.");
      copyText(lines.join("\n"), this.copyButton);
    }
  }

  const copyText = async (text, button) => {
    const before = button.textContent;
    try {
      await navigator.clipboard.writeText(text);
      button.textContent = "Copied";
    } catch {
      /* No clipboard on a page without https: show the text, selected, to be copied by hand. */
      const area = make("textarea", { class: "try__copied", rows: "8", readonly: true, "aria-label": "Text to copy" });
      area.value = text;
      button.parentElement.after(area);
      area.select();
      area.addEventListener("blur", () => area.remove());
    }
    setTimeout(() => { button.textContent = before; }, 2000);
  };

  const handbookTop = document.querySelector('meta[name="handbook-top"]')?.content || ".";

  const clearAll = () => {
    typed.clear();
    blocks.forEach((block) => block.clear());
  };

  /* The back button may bring a page back as it was left: it must come back empty. */
  addEventListener("pageshow", (event) => { if (event.persisted) clearAll(); });

  document.querySelectorAll(".try[data-try]").forEach((place) => blocks.push(new Block(place, blocks.length + 1)));
})();
