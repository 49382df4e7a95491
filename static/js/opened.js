// The way back from an order leads to the same opened sums, at the same place. Nothing is kept on disk, so the browser
// asks for the page anew; what was open stands with the step in its history. Every page works without it.
"use strict";

const FIGURES = "main a[hx-get][hx-target^='#how-']";

function placeOf(link) {
  return document.querySelector(link.getAttribute("hx-target"));
}

function whatIsOpen() {
  const links = [...document.querySelectorAll(FIGURES)];
  const brought = links.filter((link) => link.dataset.brought).map((link) => link.getAttribute("hx-get"));
  const details = [...document.querySelectorAll("main details")];
  const open = details.flatMap((one, place) => (one.open ? [place] : []));
  return { brought, open, down: window.scrollY };
}

function keepWhatIsOpen() {
  history.replaceState({ ...history.state, opened: whatIsOpen() }, "");
}

function openAgain({ open, down }) {
  document.querySelectorAll("main details").forEach((one, place) => (one.open = open.includes(place)));
  window.scrollTo(0, down);
}

// Which figure stands in a place now: of two that share one, the later.
document.addEventListener("htmx:after:swap", (event) => {
  const link = event.detail.ctx.sourceElement;
  if (!link?.matches?.(FIGURES)) return;
  document.querySelectorAll(FIGURES).forEach((one) => {
    if (placeOf(one) === placeOf(link)) delete one.dataset.brought;
  });
  link.dataset.brought = "yes";
});

// A row that is open closes by the same link, or by Escape from within it; the link has the focus again.
const ROWS = "main a[data-opens-row]";

function close(link) {
  placeOf(link)?.replaceChildren();
  delete link.dataset.brought;
  link.setAttribute("aria-expanded", "false");
}

document.addEventListener("htmx:after:swap", (event) => {
  const link = event.detail.ctx.sourceElement;
  if (link?.matches?.(ROWS)) link.setAttribute("aria-expanded", "true");
});

document.addEventListener("click", (event) => {
  const link = event.target.closest?.(ROWS);
  if (!link?.dataset.brought || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  close(link);
}, true);

document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  const place = event.target.closest?.(".opened-row > td");
  const link = place ? document.querySelector(`${ROWS}[hx-target="#${place.id}"]`) : event.target.closest?.(ROWS);
  if (!link?.dataset.brought) return;
  close(link);
  link.focus();
});

window.addEventListener("pagehide", keepWhatIsOpen);
document.addEventListener("click", (event) => {
  if (event.target.closest("main a[href]:not([hx-get])")) keepWhatIsOpen();
});

window.addEventListener("load", () => {
  const kept = history.state?.opened;
  if (!kept || performance.getEntriesByType("navigation")[0]?.type === "navigate") return;
  const links = [...document.querySelectorAll(FIGURES)].filter((link) => kept.brought.includes(link.getAttribute("hx-get")));
  let waiting = links.length;
  if (!waiting) return openAgain(kept);
  document.addEventListener("htmx:after:swap", function one(event) {
    if (!links.includes(event.detail.ctx.sourceElement) || --waiting) return;
    document.removeEventListener("htmx:after:swap", one);
    openAgain(kept);
  });
  for (const link of links) {
    const brought = { source: link, target: link.getAttribute("hx-target"), swap: "innerHTML" };
    window.htmx?.ajax("GET", link.getAttribute("hx-get"), brought);
  }
});
