/* Puts an answer of the engine onto the page: a formula's result with its picture, or several documents' answers. */
"use strict";
(() => {
  const { make, table, textTable } = window.handbookParts;
  const top = document.querySelector('meta[name="handbook-top"]')?.content || ".";
  const OPEN_ROWS = 6; /* as in pvcalc/handbook/authoring/fences.py */
  const line = (text) => text ? [make("br"), text] : [];
  const seenWords = (seen) => ({ memory: "recalled", second: "read second-hand" })[seen] || seen;

  const result = (block, reply) => {
    const single = reply.parts.filter((part) => "text" in part && !part.more);
    const more = reply.parts.filter((part) => "text" in part && part.more);
    const front = make("p", { class: "worked__result" }, ...single.map((part) => make("span", { class: "worked__part" },
      make("span", { class: "worked__label" }, part.label || "Result"), " ", make("span", { class: "worked__value", translate: "no" }, part.text))));
    if (reply.seen === "memory") front.append(" ", make("span", { class: "mark mark--memory" }, "recalled"));
    const lists = reply.parts.filter((part) => part.rows).map((part, place) => make("details", { open: place === 0 && part.rows.length <= OPEN_ROWS },
      make("summary", {}, `${part.label} (${part.rows.length})`), textTable(part.heads, part.rows)));
    if (more.length) lists.push(make("details", {}, make("summary", {}, `Its other results (${more.length})`),
      textTable(["Result", "Value"], more.map((part) => [part.label, part.text]))));
    const told = [...single, ...more].map((part) => `Result: ${part.label ? `${part.label} ` : ""}${part.text}`);
    const rows = reply.parts.filter((part) => part.rows).flatMap((part) => [`${part.label}: ${part.heads.join(" | ")}`, ...part.rows.map((row) => row.join(" | "))]);
    const recalled = reply.seen === "memory" ? ["Recalled coefficients: confirm before use."] : [];
    return { elements: [front, ...lists], lines: [...told, ...rows, ...recalled, ...reply.asks],
      spoken: single.map((part) => `${part.label || "Result"} ${part.text}`).join(", ") };
  };

  /* A note, such as a cap that applies, stands with the result; a question comes first and waits for the tick. */
  const showResult = (block, reply) => {
    const made = result(block, reply);
    const place = make("div");
    reply.asks.forEach((text) => block.output.append(make("p", { class: text.includes("?") ? "worked__question" : "worked__caution" }, text)));
    const finish = () => {
      place.replaceChildren(...made.elements);
      block.picture.classList.remove("try__picture--old");
      block.draw(reply);
      block.offerCopy(made.lines);
      block.speak([made.spoken, ...reply.asks].join(". "));
    };
    if (!reply.held) {
      block.output.append(place);
      return finish();
    }
    block.picture.replaceChildren();
    const tick = make("input", { type: "checkbox", id: `try-${block.number}-tick`, autocomplete: "off" });
    tick.addEventListener("change", () => {
      if (tick.checked) return finish();
      place.replaceChildren();
      block.picture.replaceChildren();
      block.copyButton.hidden = true;
    });
    block.output.append(make("p", { class: "try__tick" }, tick, " ", make("label", { for: tick.id }, "I have looked again: the numbers are right")), place);
    block.speak(`${reply.asks.join(" ")} The result is held until you tick that you have looked again.`);
  };

  const showRows = (block, reply) => {
    const heads = ["Document", "Answer", "Why", "Seen"];
    const body = reply.rows.map((row) => {
      const cells = [
        [make("a", { href: `${top}/reference/tables.html#${row.table}` }, row.document), ...line(row.superseded), ...line(row.mark)],
        [make("span", { class: `answer answer--${row.answer}` }, row.words), ...line(row.grade), ...line(row.advice)],
        [row.why, ...(row.cut_off ? [make("br"), make("strong", {}, row.cut_off)] : []),
          ...row.cautions.flatMap((text) => [make("br"), make("span", { class: "worked__caution" }, text)]), ...line(row.unchecked), ...line(row.assumed)],
        [...(row.seen ? [make("span", { class: `mark mark--${row.seen}` }, seenWords(row.seen))] : []), ...line(row.source), ...line(row.recalled)],
      ];
      return make("tr", { "data-table": row.table, class: `answer--${row.answer}` }, ...cells.map((cell, place) => make("td", { "data-label": heads[place] }, ...cell)));
    });
    block.output.append(table(heads, body, "documents"));
    block.offerCopy(reply.rows.map((row) => [
      `${row.document} (${[row.population, row.source, seenWords(row.seen)].filter(Boolean).join("; ")}): ${row.words}`, row.grade, row.advice, row.cut_off, row.why,
      ...row.cautions, row.unchecked, row.assumed, row.superseded, row.mark, row.recalled].filter(Boolean).join("; ")));
    block.speak(reply.rows.map((row) => `${row.document}: ${row.words}`).join(". "));
  };

  window.handbookShow = (block, reply) => reply.rows ? showRows(block, reply) : showResult(block, reply);
})();
