/* Narrows a generated table down by its rows' own marks; without this script every row shows. */
"use strict";
(() => {
  document.querySelectorAll(".filter[data-filters]").forEach((bar) => {
    const target = document.getElementById(bar.dataset.filters);
    const selects = [...bar.querySelectorAll("select")];
    const rows = [...target.querySelectorAll("tr[data-seen], tr[data-kind], section[data-seen]")];
    const output = bar.querySelector("output");
    bar.hidden = false;
    const apply = () => {
      let shown = 0;
      rows.forEach((row) => {
        const fits = selects.every((select) => !select.value || (row.dataset[select.dataset.filter] || "").split("|").includes(select.value));
        row.hidden = !fits;
        if (fits) shown += 1;
      });
      output.textContent = `${shown} of ${rows.length}`;
    };
    selects.forEach((select) => select.addEventListener("change", apply));
    apply();
  });
})();
