/* The theme's small store, moved out of the page so that no script stands in it (partials/javascripts/base.html).
   The only thing it ever keeps is the reader's choice of light or dark. */
"use strict";
var __md_scope = new URL(document.currentScript.dataset.base, location);
var __md_hash = (text) => [...text].reduce((sum, letter) => (sum << 5) - sum + letter.charCodeAt(0), 0);
var __md_get = (key, store = localStorage, scope = __md_scope) => {
  try {
    return JSON.parse(store.getItem(scope.pathname + "." + key));
  } catch (refused) {
    return null;
  }
};
var __md_set = (key, value, store = localStorage, scope = __md_scope) => {
  try {
    store.setItem(scope.pathname + "." + key, JSON.stringify(value));
  } catch (refused) {
    /* Storage switched off: the choice lasts for this page only. */
  }
};
