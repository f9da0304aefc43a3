// Loads a tool's tables and steps when its form is first used, or when the address holds what
// was asked: a page that is only read stays light. No request leaves the site.
"use strict";
(function () {

const names = document.currentScript.dataset.loads.split(" ");
const form = document.querySelector("form.tool");
const status = document.querySelector("[role=status]");
let under = null;

function load(name) {
  return new Promise((resolve, reject) => {
    const script = document.createElement("script");
    script.src = name;
    script.async = false; // one after the other, as they are named
    script.onload = resolve;
    script.onerror = () => reject(new Error(name + " is missing"));
    document.head.append(script);
  });
}
function ready() {
  under = under || Promise.all(names.map(load)).catch((problem) => {
    under = null;
    if (status) status.textContent = "This cannot answer here: " + problem.message + ".";
  });
  return under;
}
self.kbgenReady = ready;

if (status) status.textContent = "";
if (form) {
  form.addEventListener("focusin", ready, { once: true });
  form.addEventListener("pointerenter", ready, { once: true });
}
if (location.search) ready();
})();
