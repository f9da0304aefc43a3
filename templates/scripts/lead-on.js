/* Takes the reader of a page that has moved along, to the very place that was asked for.
   With scripts off the page says the same in words, each place with its link. */
"use strict";
(() => {
  const asked = document.getElementById(decodeURIComponent(location.hash.slice(1)));
  const lines = document.querySelector("main .ledger");
  const place = lines && lines.contains(asked) ? asked : document.querySelector("main .lead");
  location.replace(place.querySelector("a").href);
})();
