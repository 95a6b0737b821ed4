/* Marks what is past its review by the device's own clock; the page itself is the same on every day. */
"use strict";
(() => {
  const rows = [...document.querySelectorAll("tr[data-due]")];
  if (!rows.length) return;
  const now = new Date();
  const past = rows.filter((row) => now > new Date(`${row.dataset.due}T23:59:59`));
  past.forEach((row) => { row.querySelector(".due__past").hidden = false; });
  document.querySelector("[data-due-count]").textContent = `${past.length} of ${rows.length} are past their day.`;
})();
