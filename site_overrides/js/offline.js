/* Saves the handbook on this device and says when what is shown is a saved copy, out of date, or not saved at all. */
"use strict";
(() => {
  const banner = (name, text) => {
    const place = document.querySelector(`[data-banner="${name}"]`);
    if (!place) return;
    place.textContent = text;
    place.hidden = !text;
  };
  const top = (document.querySelector('meta[name="handbook-top"]')?.content || ".").replace(/\/$/, "");
  const saved = document.querySelector('meta[name="handbook-saved"]')?.content;
  const isFolder = location.protocol === "file:";

  /* How old a saved copy may be is the department's setting; a withdrawn figure must not live on in a phone. */
  const mostDays = Number(document.querySelector('[data-banner="offline"]')?.dataset.mostDays);
  const age = saved ? Math.floor((Date.now() - Date.parse(`${saved}T00:00:00Z`)) / 86_400_000) : 0;
  const savedWords = () => `Saved copy of the edition of ${saved}, ` + (age > mostDays
    ? `${age} days old and shown without the network: too old to act on, this department allows ${mostDays}. Open it with the network first.`
    : "shown without the network. It may have been replaced since.");

  const connection = () => {
    if (saved) banner("offline", savedWords());
    else if (!navigator.onLine && !isFolder) banner("offline", "No network. Pages you open now come from this device, if they were saved.");
    else banner("offline", "");
  };
  addEventListener("online", connection);
  addEventListener("offline", connection);
  connection();

  /* Overdue is judged by the device's own clock, so that an old copy tells on itself. */
  const due = document.querySelector('[data-banner="overdue"]')?.dataset.reviewBy;
  if (due && new Date() > new Date(`${due}T23:59:59`)) banner("overdue", `Past its review date of ${due}: check every number against the current edition before you act on it.`);

  /* A folder on disk is its own copy; the page for a wrong address does not know where the handbook lies. */
  if (isFolder || !top) return;
  const refused = (reason) => banner("unsaved", `Not saved on this device: ${reason} Without a network these pages will not open.`);
  if (!("serviceWorker" in navigator)) {
    refused("the address is not secure, or the browser keeps nothing.");
    return;
  }

  const watch = (registration) => {
    const coming = registration.installing;
    if (!coming || registration.active) return; /* an older copy is there until the new one is whole */
    coming.addEventListener("statechange", () => {
      if (coming.state === "redundant" && !registration.active) refused("the copy could not be completed.");
      else if (coming.state === "installed") banner("unsaved", "");
    });
  };
  addEventListener("load", () => {
    navigator.serviceWorker.register(new URL(`${top}/service-worker.js`, location.href)).then(watch, () => refused("the browser refused to keep a copy."));
  });
})();
