/* The page's way to the engine: one worker, started at the first question, with a time limit for each. */
"use strict";
(() => {
  const LIMIT_MS = 8000; /* a simulated beat takes about a second on a slow phone */
  const build = document.querySelector('meta[name="handbook-build"]')?.content;
  const top = document.querySelector('meta[name="handbook-top"]')?.content || ".";
  let worker = null;
  let ready = null;
  let count = 0;
  const waiting = new Map();

  const fail = (reason) => {
    waiting.forEach(({ reject, timer }) => { clearTimeout(timer); reject(new Error(reason)); });
    waiting.clear();
    worker?.terminate();
    worker = ready = null;
  };

  const start = () => {
    if (ready) return ready;
    if (location.protocol === "file:") {
      return Promise.reject(new Error("This copy was opened from a folder; computing needs the site or its saved copy. The worked example stays as printed."));
    }
    ready = new Promise((resolve, reject) => {
      worker = new Worker(new URL(`${top}/assets/${build}/worker.js`, location.href), { type: "module" });
      worker.onerror = () => { reject(new Error("The engine could not be loaded. Check the connection and try again.")); fail("The engine stopped."); };
      worker.onmessage = ({ data }) => {
        if (data.ready) resolve(data.ready);
        else if (data.id === undefined) { reject(new Error(data.failed)); fail(data.failed); }
        else {
          const asked = waiting.get(data.id);
          if (!asked) return;
          waiting.delete(data.id);
          clearTimeout(asked.timer);
          if (data.failed) asked.reject(new Error(data.failed));
          else asked.resolve(JSON.parse(data.text));
        }
      };
      worker.postMessage({ start: true });
    });
    ready.catch(() => { ready = null; });
    return ready;
  };

  /* Ask one request, or a list in one message; resolves to the reply as data. */
  const ask = async (request) => {
    await start();
    return new Promise((resolve, reject) => {
      const id = ++count;
      const timer = setTimeout(() => fail("This took too long and was stopped. Change a number to try again."), LIMIT_MS);
      waiting.set(id, { resolve, reject, timer });
      worker.postMessage({ id, text: JSON.stringify(request) });
    });
  };

  window.handbookEngine = { ask, start, build };
})();
