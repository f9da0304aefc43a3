// Keeps the findings beside a page, and loads the page again when it has changed.
// Works under the page's own policy: the style is a constructed sheet, and only the
// worker that all pages share speaks with the server.
"use strict";
(() => {
  const SHEET = `
:host{all:initial;display:block;position:fixed;z-index:9;right:0;bottom:0;left:0;max-height:45vh;overflow:auto;box-sizing:border-box;
border-top:3px double var(--ink,CanvasText);background:var(--label,Canvas);color:var(--ink,CanvasText);
font:400 1rem/1.4 var(--sans,sans-serif);overflow-wrap:anywhere;color-scheme:light dark}
@media (min-width:76rem){:host{top:0;left:auto;width:18rem;max-height:none;border-top:0;border-left:3px double var(--ink,CanvasText)}}
@media print{:host{display:none}}
.slip{padding:.7rem 1rem 1rem}
:host(.shut){max-height:3.2rem;overflow:hidden}
@media (min-width:76rem){:host(.shut){top:auto;border-top:3px double var(--ink,CanvasText)}}
button{all:unset;box-sizing:border-box;cursor:pointer;font-weight:700;display:block;width:100%;min-height:2rem}
button:focus-visible,a:focus-visible,summary:focus-visible{outline:3px solid var(--steel,LinkText);outline-offset:2px}
p,ol,ul,h2,pre{margin:0;padding:0}
ol,ul{list-style:none}
li{padding:.6rem 0;border-top:1px solid var(--line,currentColor)}
h2{font-size:1rem;margin-top:1rem}
ul li{padding:.25rem 0}
b{font-weight:700}
.error>p>b,.error:is(p){color:#b00020;font-weight:700}
.warning>p>b{color:var(--brass,inherit)}
.draft{font-weight:700;padding:.3rem .5rem;border:2px dashed currentColor}
.hint::before{content:"→ "}
.place,.lost{color:var(--soft,inherit);font-size:.85rem}
.place{user-select:all}
pre{white-space:pre-wrap;font:.85rem/1.4 ui-monospace,monospace;background:var(--ground,Canvas);padding:.3rem .5rem;margin:.3rem 0}
mark{background:#ffd100;color:#000}
a{color:var(--steel,LinkText)}
summary{cursor:pointer;font-weight:700;padding:.4rem 0}
@media (prefers-color-scheme:dark){.error>p>b,.error:is(p){color:#ff8f8f}}`;
  // The page makes room for what stands beside it.
  const ROOM = `@media screen{html{padding-bottom:45vh}}
@media screen and (min-width:76rem){html{padding:0 18rem 0 0}}`;
  const holder = document.getElementById("_proof");
  const page = holder.dataset.page;
  const mark = holder.dataset.mark;

  const root = holder.attachShadow({ mode: "open" });
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(SHEET);
  root.adoptedStyleSheets = [sheet];
  const shut = document.createElement("button");
  const inner = document.createElement("div");
  const state = document.createElement("p");
  state.className = "lost";
  inner.append(...holder.childNodes);
  const slip = document.createElement("div");
  slip.className = "slip";
  slip.append(shut, state, inner);
  root.append(slip);

  const room = new CSSStyleSheet();
  const drafts = new CSSStyleSheet();
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, room, drafts];

  const show = (closed) => {
    holder.classList.toggle("shut", closed);
    room.replaceSync(closed ? "" : ROOM);
    shut.textContent = closed ? "Findings" : "Findings: hide";
    shut.setAttribute("aria-expanded", String(!closed));
    sessionStorage.setItem("_proof", closed ? "shut" : "");
  };
  shut.addEventListener("click", () => show(!holder.classList.contains("shut")));
  show(sessionStorage.getItem("_proof") === "shut");

  // A page may be laid out and put where it was before there is room beside it; its text
  // then breaks anew, and moves.
  const place = sessionStorage.getItem("_proof.place");
  sessionStorage.removeItem("_proof.place");
  if (place !== null) scrollTo(scrollX, Number(place));

  const markDrafts = (addresses) => {
    const rules = addresses.map((address) => {
      const name = CSS.escape(address.split("/").pop());
      return `main a[href$="n/${name}"]::after,main a[href="${name}"]::after{content:" (draft)";font-weight:700}`;
    });
    drafts.replaceSync(rules.join("\n"));
  };
  markDrafts(holder.dataset.drafts.split(" ").filter(Boolean));

  if (!window.SharedWorker) {
    state.textContent = "This browser cannot follow what is saved: load the page again.";
    return;
  }
  const worker = new SharedWorker("/_proof/worker.js", { name: "kbgen proof" });
  worker.port.onmessage = ({ data: told }) => {
    state.textContent = told.lost ? "The proof has ended; nothing here is renewed." : "";
    if (told.lost) return;
    if (told.mark !== mark) {
      sessionStorage.setItem("_proof.place", String(scrollY));
      location.reload();
      return;
    }
    inner.innerHTML = told.panel;
    markDrafts(told.drafts);
    holder.dataset.number = told.number;
  };
  worker.port.start();
  worker.port.postMessage({ page });
  addEventListener("pagehide", () => worker.port.postMessage({ gone: true }));
  addEventListener("pageshow", (event) => {
    if (event.persisted) worker.port.postMessage({ page });
  });
})();
