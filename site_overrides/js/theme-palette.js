/* Light or dark before the first paint (the theme's partials/javascripts/palette.html as a file).
   Without a stored choice the device decides at once: no white flash in a dark laboratory. */
"use strict";
(() => {
  const option = (scheme) => document.querySelector(`[data-md-color-media="(prefers-color-scheme: ${scheme})"]`);
  const device = () => (matchMedia("(prefers-color-scheme: dark)").matches ? option("dark") : option("light"));
  const stored = __md_get("__palette");
  const chosen = stored && stored.color ? stored.color : null;
  const input = chosen ? null : device();
  for (const part of ["media", "scheme", "primary", "accent"]) {
    const value = chosen ? chosen[part] : input && input.getAttribute("data-md-color-" + part);
    if (value) document.body.setAttribute("data-md-color-" + part, value);
  }
})();
