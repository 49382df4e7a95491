// Makes lines of a form quicker to type and finds the first error. Every page works without it.
"use strict";

const FIELDS = "input:not([type=hidden]), select, textarea";

function linesOf(element) {
  return element.closest("[data-lines]");
}

function tellForm(lines) {
  // A live total listens for "lines": a line taken out is no typing, yet changes the sum.
  lines.dispatchEvent(new Event("lines", { bubbles: true }));
}

function nextNumber(lines) {
  const prefix = lines.dataset.lines + "-";
  const numbers = [...lines.querySelectorAll("[name]")]
    .filter((field) => field.name.startsWith(prefix))
    .map((field) => parseInt(field.name.slice(prefix.length), 10))
    .filter((number) => !Number.isNaN(number));
  return numbers.length ? Math.max(...numbers) + 1 : 0;
}

function addLine(lines) {
  const template = document.querySelector(`template[data-line-of="${lines.dataset.lines}"]`);
  if (!template) return null;
  const number = nextNumber(lines);
  const line = template.content.firstElementChild.cloneNode(true);
  for (const element of [line, ...line.querySelectorAll("*")]) {
    for (const attribute of [...element.attributes]) {
      if (!/__no?__/.test(attribute.value)) continue;
      const value = attribute.value.replaceAll("__n__", number).replaceAll("__no__", lines.children.length + 1);
      element.setAttribute(attribute.name, value);
    }
  }
  lines.append(line);
  if (window.htmx) window.htmx.process(line);
  return line;
}

function isBlank(line) {
  return [...line.querySelectorAll(FIELDS)].every((field) => field.tagName === "SELECT" || field.type === "checkbox" || !field.value);
}

function takeOut(line) {
  const lines = linesOf(line);
  const neighbour = line.nextElementSibling || line.previousElementSibling;
  line.remove();
  const next = neighbour || addLine(lines);
  next?.querySelector(FIELDS)?.focus();
  tellForm(lines);
}

function focusNext(field) {
  const line = field.closest("[data-line]");
  const fields = [...line.querySelectorAll(FIELDS)].filter((one) => !one.disabled);
  const following = fields[fields.indexOf(field) + 1];
  if (following) return following.focus();
  const lines = linesOf(line);
  let next = line.nextElementSibling;
  if (!next && !isBlank(line)) next = addLine(lines);
  if (next) next.querySelector(FIELDS)?.focus();
}

document.addEventListener("click", (event) => {
  const add = event.target.closest("[data-add]");
  if (add) {
    const lines = document.querySelector(`[data-lines="${add.dataset.add}"]`);
    const line = lines && addLine(lines);
    if (!line) return;
    event.preventDefault();
    line.querySelector(FIELDS)?.focus();
    return;
  }
  const drop = event.target.closest("[data-drop]");
  if (drop) {
    event.preventDefault();
    takeOut(drop.closest("[data-line]"));
  }
});

document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (event.key !== "Enter" || event.isComposing || event.ctrlKey || event.metaKey) return;
  if (!field.matches("input, select") || !field.closest("[data-line]")) return;
  event.preventDefault();
  focusNext(field);
});

// The links of an error summary lead into the field, not only to it.
document.addEventListener("click", (event) => {
  const link = event.target.closest("[data-faults] a[href^='#']");
  const field = link && document.getElementById(link.hash.slice(1));
  if (!field) return;
  event.preventDefault();
  field.focus();
});

function showTrouble() {
  const trouble = document.querySelector("#answer #trouble");
  if (trouble) {
    trouble.tabIndex = -1;
    trouble.focus();
    return;
  }
  document.querySelector("[aria-invalid=true], [data-ask] input")?.focus();
}

// After a form came back: to the first error, but never away from somebody who is typing (a live total).
document.addEventListener("htmx:after:swap", (event) => {
  const status = event.detail?.ctx?.response?.status ?? 0;
  if (status >= 400 && event.target.matches?.("form, form *") && event.detail.ctx.request?.method !== "GET") {
    const typing = event.detail.ctx.sourceElement?.matches?.("form") === false;
    if (!typing) showTrouble();
  } else if (document.querySelector("#answer #trouble")) {
    document.getElementById("answer").replaceChildren();
  }
});
