/* The letters are asked for beside the styles and not after them, so that no line breaks anew before the reader's eyes.
   From a folder on disk a browser refuses such a request; there the styles fetch them as ever. */
"use strict";
if (location.protocol.startsWith("http")) {
  const top = new URL(document.currentScript.dataset.base.replace(/\/?$/, "/"), location);
  for (const weight of [400, 700]) {
    const asked = document.createElement("link");
    Object.assign(asked, {rel: "preload", as: "font", type: "font/woff2", crossOrigin: "anonymous",
                          href: new URL(`fonts/text-${weight}.woff2`, top).href});
    document.head.append(asked);
  }
}
