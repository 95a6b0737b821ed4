/* "Your numbers": empty fields in place of a worked example, computed by the engine on this device.
   What is typed lives in these fields only; it is never stored and never sent. */
"use strict";
(() => {
  const { make, copyText } = window.handbookParts;
  const OPEN = "Your numbers";
  const CLOSE = "Close, back to the example";
  const SPOKEN_MS = 700; /* a screen reader hears the result when the typing pauses, not at every key */
  const blocks = [];
  const typed = new Map(); /* argument name -> what the reader typed on this page */

  const words = (value) => Array.isArray(value) ? value.join("; ") : String(value);
  const named = (label, unit) => label + (unit ? ` (${unit})` : "");

  class Block {
    constructor(place, number) {
      this.offer = JSON.parse(place.dataset.try);
      this.place = place;
      this.number = number;
      this.asked = 0;
      this.isExample = false;
      this.fields = new Map();
      this.button = make("button", { type: "button", class: "try__open", "aria-expanded": "false" }, OPEN);
      this.button.addEventListener("click", () => this.toggle());
      place.append(this.button);
    }

    get open() {
      return Boolean(this.form) && !this.form.hidden;
    }

    toggle() {
      if (!this.form) this.build();
      this.form.hidden = !this.form.hidden;
      this.button.setAttribute("aria-expanded", String(!this.form.hidden));
      this.button.textContent = this.open ? CLOSE : OPEN;
      /* Yours and the example never stand open together. */
      this.place.closest(".worked")?.classList.toggle("worked--yours", this.open);
      if (!this.open) return;
      this.travelIn();
      this.compute();
      this.fields.values().next().value?.input.focus();
    }

    build() {
      this.form = make("form", { class: "try__form", autocomplete: "off", novalidate: true, hidden: true, "aria-label": `Your own numbers: ${this.offer.title || "these documents"}` });
      this.form.addEventListener("submit", (event) => event.preventDefault());
      this.banner = make("p", { class: "try__example", hidden: true });
      const list = make("div", { class: "try__fields" }, ...this.offer.fields.map((field) => this.field(field)));
      this.output = make("div", { class: "try__output" });
      this.picture = make("div", { class: "try__picture" });
      /* A browser that translates must leave computed numbers and their words as they are. */
      this.shown = make("div", { class: "try__shown", translate: "no" }, this.output, this.picture);
      this.voice = make("p", { class: "try__voice", role: "status" });
      this.origin = make("p", { class: "try__note" });
      this.copyButton = this.press("Copy as text", () => this.copy());
      this.copyButton.hidden = true;
      this.fillButton = this.press("Fill in the example", () => this.isExample ? this.leaveExample() : this.fill());
      const settings = this.offer.settings_words ? make("p", { class: "try__settings" }, `Department settings used: ${this.offer.settings_words}.`) : null;
      this.form.append(...[this.banner, this.shown, list, settings, this.voice,
        make("div", { class: "try__buttons" }, this.fillButton, this.press("New patient: clear this page", clearAll), this.copyButton), this.origin].filter(Boolean));
      this.place.append(this.form);
    }

    press(text, act) {
      const button = make("button", { type: "button", class: "try__button" }, text);
      button.addEventListener("click", act);
      return button;
    }

    field(field) {
      const id = `try-${this.number}-${field.name}`;
      let input;
      if (field.kind === "choice" || field.kind === "flag") {
        input = make("select", { id, autocomplete: "off" }, make("option", { value: "" }, "choose"));
        (field.choices || ["yes", "no"]).forEach((choice) => input.append(make("option", { value: choice }, choice.replaceAll("_", " "))));
      } else if (field.kind === "list") {
        input = make("textarea", { id, rows: "3", autocomplete: "off", spellcheck: "false" });
      } else {
        input = make("input", { id, type: "text", inputmode: "decimal", autocomplete: "off", spellcheck: "false", maxlength: "200" });
      }
      const listed = field.kind === "list" ? "Numbers with blanks, lines or semicolons between them." : "";
      const hint = make("p", { class: "try__hint", id: `${id}-hint` }, [field.meaning, listed, field.range ? `Allowed: ${field.range}.` : ""].filter(Boolean).join(" "));
      const fault = make("p", { class: "try__fault", id: `${id}-fault` });
      const echo = make("p", { class: "try__echo", id: `${id}-echo`, translate: "no" });
      input.setAttribute("aria-describedby", `${id}-fault ${id}-echo ${id}-hint`);
      input.addEventListener("input", () => this.changed(field.name));
      const slider = field.stops ? this.slider(field, input) : null;
      this.fields.set(field.name, { input, fault, echo, slider, label: field.label, unit: field.unit, kind: field.kind, stops: field.stops });
      return make("div", { class: "try__field" }, make("label", { for: id }, named(field.label, field.unit)), input, slider, fault, echo, hint);
    }

    /* Every slider is a second way into its field, never the only one. */
    slider(field, input) {
      const slider = make("input", { type: "range", min: "0", max: String(field.stops.length - 1), step: "1", autocomplete: "off", "aria-label": `${named(field.label, field.unit)}, slider` });
      slider.addEventListener("input", () => {
        input.value = field.stops[Number(slider.value)];
        this.changed(field.name);
      });
      slider.value = "0";
      slider.setAttribute("aria-valuetext", "not set");
      return slider;
    }

    /* The slider follows what stands in the field; an empty or unreadable field leaves it at its start. */
    placeSlider({ input, slider, stops, unit }) {
      if (!slider) return;
      const value = Number(input.value.trim().replace(",", ".") || NaN);
      const place = stops.findIndex((stop) => Number(stop) >= value);
      if (document.activeElement !== slider) slider.value = String(Number.isNaN(value) ? 0 : place < 0 ? stops.length - 1 : place);
      slider.setAttribute("aria-valuetext", Number.isNaN(value) ? "not set" : `${input.value.trim()} ${unit}`);
    }

    changed(name) {
      if (this.isExample) this.sayExample("Example numbers with your changes: not a patient.");
      else {
        typed.set(name, this.fields.get(name).input.value);
        blocks.forEach((block) => { if (block !== this) block.travel(name); });
      }
      this.compute();
    }

    /* A value typed elsewhere on the page arrives; an example never takes it, a closed form takes it when it opens. */
    travel(name) {
      if (this.open && !this.isExample && this.fields.has(name) && this.set(name, typed.get(name))) this.compute();
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

    sayExample(text) {
      this.banner.textContent = text;
      this.banner.hidden = !text;
      this.fillButton.textContent = text ? "Leave the example" : "Fill in the example";
    }

    fill() {
      this.isExample = true;
      this.sayExample("Example numbers: not a patient.");
      this.fields.forEach(({ kind }, name) => {
        const value = this.offer.example[name];
        this.set(name, value === undefined ? "" : kind === "flag" ? (Number(value) ? "yes" : "no") : words(value));
      });
      this.compute();
    }

    empty() {
      this.isExample = false;
      this.sayExample("");
      this.fields.forEach(({ input }) => { input.value = ""; });
    }

    leaveExample() {
      this.empty();
      this.travelIn();
      this.compute();
    }

    clear() {
      if (!this.form) return;
      this.empty();
      this.asked += 1; /* an answer still on its way belongs to nobody */
      this.blank();
      this.picture.replaceChildren();
      this.markFields(new Map(), new Map());
      this.voice.textContent = "";
      if (this.open) this.compute();
    }

    given() {
      const given = {};
      this.fields.forEach(({ input }, name) => { if (input.value.trim() !== "") given[name] = input.value; });
      return given;
    }

    /* Blank at once, so that no result stands beside numbers it was not computed from; the room is kept, so that nothing jumps.
       Only the simulation's picture stays, greyed and unread, while the next one is drawn. */
    blank() {
      this.shown.style.minHeight = `${this.shown.offsetHeight}px`;
      this.output.replaceChildren();
      if (this.offer.sliders) this.picture.classList.add("try__picture--old");
      else this.picture.replaceChildren();
      this.copyButton.hidden = true;
      this.result = null;
    }

    note(text) {
      this.output.append(make("p", { class: "try__note" }, text));
    }

    /* What a screen reader hears, once, when the typing has paused. */
    speak(text) {
      clearTimeout(this.speaking);
      this.speaking = setTimeout(() => { this.voice.textContent = text; }, SPOKEN_MS);
    }

    request(given) {
      return this.offer.tables
        ? { op: "block", from: this.offer.from, tables: this.offer.tables, given, window: this.offer.window }
        : { op: "block", from: this.offer.from, formula: this.offer.formula, given, settings: this.offer.settings, figure: this.offer.figure || null, show: this.offer.show || "", place: `try-${this.number}` };
    }

    /* One question of a block is on its way at a time; what was typed meanwhile is asked next, so that no queue grows. */
    async compute() {
      this.asked += 1;
      this.blank();
      this.fields.forEach((field) => this.placeSlider(field));
      if (!handbookEngine.about()) this.note("Loading the engine of this page…");
      if (this.busy) return;
      this.busy = true;
      for (let asked = 0; asked !== this.asked;) {
        asked = this.asked;
        const given = this.given();
        try {
          const reply = await handbookEngine.ask(this.request(given));
          if (asked === this.asked) this.show(reply, given);
          else if (this.offer.sliders && reply.picture) this.draw(reply);
        } catch (error) {
          if (asked === this.asked) this.failed(error.message);
        }
      }
      this.busy = false;
    }

    failed(sentence) {
      this.blank();
      this.picture.replaceChildren();
      this.note(sentence);
      this.shown.style.minHeight = "";
      this.speak(sentence);
    }

    markFields(faults, read) {
      this.fields.forEach(({ input, fault, echo }, name) => {
        const sentence = faults.get(name) || "";
        const plain = (read.get(name) || "").split("\u00a0")[0];
        echo.textContent = !sentence && plain && plain !== input.value.trim() ? `Read as ${read.get(name)}.` : "";
        if (fault.textContent !== sentence) fault.textContent = sentence;
        if (sentence) input.setAttribute("aria-invalid", "true");
        else input.removeAttribute("aria-invalid");
      });
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
      this.markFields(faults, read);
      this.blank();
      this.copyLines = [...this.fields].filter(([name]) => name in given)
        .map(([name, { input, label, unit }]) => `${label}: ${read.get(name) || input.value.trim() + (unit ? ` ${unit}` : "")}`);
      if (reply.ok) handbookShow(this, reply);
      else {
        this.picture.replaceChildren();
        const told = [...loose];
        if (missing.length && !faults.size) told.push(`Still needed: ${missing.join(", ")}.`);
        if (faults.size) told.push("No result: see the field that is marked.");
        told.forEach((text) => this.note(text));
        this.speak([...faults.values(), ...told].join(" "));
      }
      this.shown.style.minHeight = "";
      const about = handbookEngine.about();
      if (about) this.origin.textContent = `Computed on this device, build ${about.build}; ${about.compared ? "every file of it was compared with its digest" : "not compared with its digests, because this address is not secure"}.`;
    }

    draw(reply) {
      this.picture.replaceChildren();
      if (reply.picture) {
        const drawing = new DOMParser().parseFromString(reply.picture, "image/svg+xml").documentElement;
        this.picture.append(make("figure", { class: "picture" }, document.importNode(drawing, true)));
      }
      (reply.picture_faults || []).forEach(([, sentence]) => this.picture.append(make("p", { class: "try__note" }, `No picture: ${sentence}`)));
    }

    /* The result may be copied: `lines` tell it. */
    offerCopy(lines) {
      this.result = lines;
      this.copyButton.hidden = false;
    }

    async copy() {
      const edition = document.querySelector('meta[name="handbook-edition"]')?.content || "not stated";
      const lines = [this.offer.title || document.title, ...(this.isExample ? [this.banner.textContent] : []), ...this.copyLines];
      if (this.offer.settings_words) lines.push(`Department settings: ${this.offer.settings_words}`);
      lines.push(...this.result);
      if (this.offer.formula) lines.push(`Formula: ${this.offer.formula}`, `Valid: ${this.offer.population}`, `Source: ${this.offer.source}`);
      if (this.offer.not_for) lines.push(`Not for: ${this.offer.not_for}`);
      lines.push(`Edition ${edition}, build ${handbookEngine.build}, ${new Date().toLocaleString("en-GB")}`,
        "Planning and teaching aid, not a medical device. No name, no number.");
      const done = await copyText(lines.join("\n"), this.copyButton);
      this.speak(done ? "Copied as text." : "Copy the selected text.");
    }
  }

  const clearAll = () => {
    typed.clear();
    document.querySelectorAll(".try__copied").forEach((area) => area.remove());
    blocks.forEach((block) => block.clear());
  };

  /* The back button may bring a page back as it was left: it is left empty, and comes back empty. */
  addEventListener("pagehide", clearAll);
  addEventListener("pageshow", (event) => { if (event.persisted) clearAll(); });

  document.querySelectorAll(".try[data-try]").forEach((place) => blocks.push(new Block(place, blocks.length + 1)));

  /* An address that names a block opens its empty form. */
  const openNamed = () => {
    const named = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    const block = named && blocks.find(({ place }) => place.parentElement === named);
    if (block && !block.open) block.toggle();
  };
  addEventListener("hashchange", openNamed);
  addEventListener("load", openNamed);

  /* Once the handbook is kept on this device, starting the engine costs no network: it is made ready while nothing else is done. */
  const whenIdle = window.requestIdleCallback || ((act) => setTimeout(act, 1000));
  addEventListener("load", () => {
    if (blocks.length && navigator.serviceWorker?.controller) whenIdle(() => handbookEngine.start().catch(() => {}));
  });
})();
