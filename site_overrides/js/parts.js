/* Small things the scripts of a page share: making elements, tables that scroll or stack, copying text. */
"use strict";
(() => {
  const make = (tag, attributes = {}, ...children) => {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (name === "class") element.className = value || "";
      else if (value !== false && value != null) element.setAttribute(name, value === true ? "" : value);
    }
    element.append(...children.filter((child) => child != null && child !== ""));
    return element;
  };

  const table = (heads, rows, kind) => make("div", { class: "table-wrap", role: "group", tabindex: "0", "aria-label": "Table: " + heads.slice(0, 3).join(", ") },
    make("table", { class: kind === "compared" ? kind : `cards ${kind}` },
      make("thead", {}, make("tr", {}, ...heads.map((head) => make("th", { scope: "col" }, head)))), make("tbody", {}, ...rows)));

  const textTable = (heads, rows) => table(heads, rows.map((row) => make("tr", {},
    ...row.map((cell, place) => make("td", { "data-label": heads[place], class: String(cell).length > 40 && "wordy" }, cell)))), "compared");

  /* Says `told` to the caller when the text is on its way; resolves to false when it must be copied by hand. */
  const copyText = async (text, button) => {
    const before = button.textContent;
    document.querySelectorAll(".try__copied").forEach((area) => area.remove());
    try {
      await navigator.clipboard.writeText(text);
      button.textContent = "Copied";
      setTimeout(() => { button.textContent = before; }, 2000);
      return true;
    } catch {
      /* No clipboard on a page without https: show the text, selected, to be copied by hand. */
      const area = make("textarea", { class: "try__copied", rows: "8", readonly: true, "aria-label": "Text to copy" });
      area.value = text;
      button.parentElement.after(area);
      area.focus();
      area.select();
      return false;
    }
  };

  window.handbookParts = { make, table, textTable, copyText };
})();
