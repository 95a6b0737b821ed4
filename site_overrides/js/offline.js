/* Saves the handbook on this device and says when what is shown is a saved copy, out of date, or not saved at all. */
"use strict";
(() => {
  const banner = (name, text) => {
    const place = document.querySelector(`[data-banner="${name}"]`);
    if (!place) return;
    place.textContent = text;
    place.hidden = !text;
  };
  const top = document.querySelector('meta[name="handbook-top"]')?.content || ".";
  const saved = document.querySelector('meta[name="handbook-saved"]')?.content;

  const connection = () => {
    if (saved) banner("offline", `Saved copy of ${saved}, shown without the network. It may have been replaced since.`);
    else if (!navigator.onLine && location.protocol !== "file:") banner("offline", "No network. Pages you open now come from this device.");
    else banner("offline", "");
  };
  addEventListener("online", connection);
  addEventListener("offline", connection);
  connection();

  /* Overdue is judged by the device's own clock, so that an old copy tells on itself. */
  const overdue = document.querySelector('[data-banner="overdue"]');
  const due = overdue?.dataset.reviewBy;
  if (due && new Date() > new Date(`${due}T23:59:59`)) banner("overdue", `Past its review date of ${due}: check every number against the current edition before you act on it.`);

  if (location.protocol === "file:") return; /* a folder on disk is its own copy */
  if (!("serviceWorker" in navigator)) {
    banner("unsaved", "Not saved on this device (the address is not secure): without a network these pages will not open.");
    return;
  }
  addEventListener("load", () => {
    navigator.serviceWorker.register(new URL(`${top}/service-worker.js`, location.href)).catch(() => {
      banner("unsaved", "Not saved on this device: the browser refused to keep a copy.");
    });
  });
})();
