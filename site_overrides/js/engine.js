/* The page's way to the engine: one worker, started at the first question, with a time limit for each. */
"use strict";
(() => {
  const LIMIT_MS = 8000; /* a simulated beat takes less than a second on a slow phone */
  const START_LIMIT_MS = 60000;
  const build = document.querySelector('meta[name="handbook-build"]')?.content;
  const top = (document.querySelector('meta[name="handbook-top"]')?.content || ".").replace(/\/$/, "");
  const waiting = new Map();
  let worker = null;
  let ready = null;
  let about = null; /* what the running engine says of itself; null while it loads */
  let count = 0;

  const fail = (reason) => {
    const asked = [...waiting.values()];
    waiting.clear();
    worker?.terminate();
    worker = ready = about = null;
    asked.forEach(({ reject, timer }) => { clearTimeout(timer); reject(new Error(reason)); });
  };

  const arm = (asked) => {
    asked.timer = setTimeout(() => fail("This took too long and was stopped. Change a number to try again."), LIMIT_MS);
  };

  const heard = ({ data }) => {
    const asked = waiting.get(data.id);
    if (!asked) return;
    waiting.delete(data.id);
    clearTimeout(asked.timer);
    if (data.failed) asked.reject(new Error(data.failed));
    else asked.resolve(data.ready || JSON.parse(data.text));
  };

  const send = (message) => new Promise((resolve, reject) => {
    const id = ++count;
    const asked = { resolve, reject, timer: 0 };
    waiting.set(id, asked);
    if (about) arm(asked);
    worker.postMessage({ id, ...message });
  });

  const start = () => {
    if (ready) return ready;
    if (location.protocol === "file:") {
      return Promise.reject(new Error("This copy was opened from a folder, where a browser does not let a page compute: open the site itself, or its saved copy. The worked example stays as printed."));
    }
    try {
      worker = new Worker(new URL(`${top}/assets/${build}/worker.js`, location.href), { type: "module" });
    } catch {
      return Promise.reject(new Error("This browser cannot run the engine of this page. The worked example stays as printed."));
    }
    worker.onerror = () => fail("The engine could not be loaded. Check the connection and try again; the worked example stays as printed.");
    worker.onmessage = heard;
    const late = setTimeout(() => fail("The engine could not be loaded within a minute. Check the connection and try again."), START_LIMIT_MS);
    ready = send({ start: true }).then((told) => {
      about = told;
      waiting.forEach(arm); /* their own time runs only now: loading took its own */
      return told;
    });
    ready.catch(() => { ready = null; }).finally(() => clearTimeout(late));
    return ready;
  };

  /* Ask one request, or a list in one message; resolves to the reply as data. The worker loads engine and modules side by side. */
  const ask = (request) => {
    const starting = start();
    if (!worker) return starting;
    const answer = send({ text: JSON.stringify(request) });
    starting.catch(() => {}); /* the answer fails for the same reason and is the one that is shown */
    return answer;
  };

  window.handbookEngine = { ask, start, build, about: () => about };
})();
