/* Small helps for the page around the text: no arithmetic, nothing stored, nothing sent. */
"use strict";
(() => {
  const each = (selector, act) => document.querySelectorAll(selector).forEach(act);

  /* The theme opens contents and search by hidden checkboxes: real buttons press them. */
  each("[data-press]", (button) => {
    const toggle = document.getElementById(button.dataset.press);
    const label = button.parentElement.querySelector(`label[for="${toggle.id}"]`);
    button.addEventListener("click", () => label.click()); /* the theme listens to the label it hides */
    toggle.addEventListener("change", () => button.setAttribute("aria-expanded", String(toggle.checked)));
  });

  /* A link to something inside a fold opens the fold. */
  const unfold = () => {
    const target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    for (let fold = target?.closest("details"); fold; fold = fold.parentElement?.closest("details")) fold.open = true;
    if (target?.closest("details")) target.scrollIntoView();
  };
  addEventListener("hashchange", unfold);
  unfold();

  /* A table that is wider than its place says so in words; a listing that scrolls can be reached by key. */
  const wide = (box) => box.scrollWidth > box.clientWidth + 1;
  const mark = ([box, is]) => {
    if (box.matches(".table-wrap")) box.toggleAttribute("data-overflow", is);
    else if (is) box.tabIndex = 0;
    else box.removeAttribute("tabindex");
  };
  /* First all reading, then all writing: turn about would lay a long chapter out again for every table. */
  const watcher = new ResizeObserver((entries) => entries.map(({ target }) => [target, wide(target)]).forEach(mark));
  each(".table-wrap, pre, math[display='block']", (box) => watcher.observe(box));

  /* Paper is light, carries the day it was printed, and would lose what is folded away. */
  let scheme = "";
  let footSheet = null;

  /* A link to another site is no use on paper: its address stands in a note below the text. */
  const notes = () => {
    const addresses = [];
    each("article a[href]", (link) => {
      /* A DOI or a PubMed number is its own address. */
      if (!/^https?:$/.test(link.protocol) || link.origin === location.origin || link.classList.contains("identifier")) return;
      if (!addresses.includes(link.href)) addresses.push(link.href);
      link.dataset.note = addresses.indexOf(link.href) + 1;
    });
    document.querySelector(".print-notes")?.remove();
    if (!addresses.length) return;
    const list = document.createElement("ol");
    list.className = "print-notes";
    list.append(...addresses.map((address) => Object.assign(document.createElement("li"), { textContent: address })));
    document.querySelector("article").append(list);
  };

  /* The foot goes into the margin of every sheet. A table's foot, which browsers repeat too, is left out of the
     last sheets by Chromium together with the text above it; it stays for browsers without margin boxes. */
  const quoted = (text) => `"${text.trim().replace(/\s+/g, " ").replace(/["\\]/g, "\\$&")}"`;
  const marginFoot = () => {
    const foot = document.querySelector(".print-foot");
    if (!foot || !("adoptedStyleSheets" in document) || document.querySelector(".plan__sheet, .doses--page .doses__sheet")) return;
    const sheet = new CSSStyleSheet();
    /* A drill hangs on a wall: nothing on it is small, and what its own text says is not said again. */
    const drill = Boolean(document.querySelector(".admonition.drill"));
    const words = foot.cloneNode(true);
    if (drill) words.querySelectorAll(".print-foot__more").forEach((part) => part.remove());
    const look = `font: ${drill ? 10 : 6.5}pt/1.2 sans-serif; color: #333; vertical-align: top; padding-top: ${drill ? 1 : 2}mm;`;
    sheet.replaceSync(`@page { margin-bottom: ${drill ? 18 : 17}mm; @bottom-left { content: ${quoted(words.textContent)}; width: 88%; text-align: left; ${look} }
      @bottom-right { content: counter(page) " of " counter(pages); width: 12%; text-align: right; ${look} } }`);
    if (!sheet.cssRules[0]?.cssRules?.length) return;
    document.adoptedStyleSheets = [...document.adoptedStyleSheets.filter((one) => one !== footSheet), sheet];
    footSheet = sheet;
    document.documentElement.dataset.marginFoot = "";
  };

  addEventListener("beforeprint", () => {
    if (!scheme) scheme = document.body.getAttribute("data-md-color-scheme");
    document.body.setAttribute("data-md-color-scheme", "default");
    const today = new Date();
    const two = (number) => String(number).padStart(2, "0");
    const day = `${today.getFullYear()}-${two(today.getMonth() + 1)}-${two(today.getDate())}`;
    notes();
    each("[data-printed-on]", (place) => (place.textContent = day));
    marginFoot();
    each("details:not([open])", (details) => {
      details.open = true;
      details.dataset.openedForPrint = "";
    });
  });
  addEventListener("afterprint", () => {
    if (scheme) document.body.setAttribute("data-md-color-scheme", scheme);
    scheme = "";
    each("details[data-opened-for-print]", (details) => {
      details.open = false;
      delete details.dataset.openedForPrint;
    });
  });
})();
