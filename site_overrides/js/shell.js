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

  /* A table that is wider than its place says so in words; a listing that scrolls can be reached by key. */
  const wide = (box) => box.scrollWidth > box.clientWidth + 1;
  const measure = (box) => {
    if (box.matches(".table-wrap")) box.toggleAttribute("data-overflow", wide(box));
    else if (wide(box)) box.tabIndex = 0;
    else box.removeAttribute("tabindex");
  };
  const watcher = new ResizeObserver((entries) => entries.forEach((entry) => measure(entry.target)));
  each(".table-wrap, pre, math[display='block']", (box) => watcher.observe(box));

  /* Paper is light, carries the day it was printed, and would lose what is folded away. */
  let scheme = "";
  addEventListener("beforeprint", () => {
    if (!scheme) scheme = document.body.getAttribute("data-md-color-scheme");
    document.body.setAttribute("data-md-color-scheme", "default");
    const today = new Date();
    const two = (number) => String(number).padStart(2, "0");
    const day = `${today.getFullYear()}-${two(today.getMonth() + 1)}-${two(today.getDate())}`;
    each("[data-printed-on]", (place) => (place.textContent = day));
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
