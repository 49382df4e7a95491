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
  return !line.querySelector(FIELDS)?.value; // what a line is about stands first; the rest may have a value to start with
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
  // Enter passes by what is seldom typed or cannot be seen, and a fold that an answer opened; Tab does not.
  const by_itself = (one) => one.closest("[data-by-itself]") && !field.closest("[data-by-itself]");
  const passed = (one) => one.disabled || one.matches("[data-seldom]") || !one.checkVisibility() || by_itself(one);
  const fields = [...line.querySelectorAll(FIELDS)].filter((one) => one === field || !passed(one));
  const following = fields[fields.indexOf(field) + 1];
  if (following) return following.focus();
  const lines = linesOf(line);
  let next = line.nextElementSibling;
  if (!next && !isBlank(line)) next = addLine(lines);
  // A last line left blank means that all is typed: on to the button.
  (next ? next.querySelector(FIELDS) : field.form?.querySelector(".main-act"))?.focus();
}

// Into the first field of a line that still has to be typed; where none is left, on to the next line.
function toWhatLacks(line, from) {
  const needed = ["packs", "size", "unit", "price"].map((last) => line.querySelector(`[name$="-${last}"]`));
  const lacks = needed.find((one) => !one.value);
  if (lacks) lacks.focus();
  else focusNext(from ?? needed.at(-1));
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

document.addEventListener("click", (event) => {
  event.target.closest("summary")?.parentElement.removeAttribute("data-by-itself");
});

document.addEventListener("keydown", (event) => {
  const field = event.target;
  if (event.key !== "Enter" || event.isComposing || event.ctrlKey || event.metaKey) return;
  if (!field.matches("input, select") || !field.closest("[data-line]")) return;
  event.preventDefault();
  focusNext(field);
});

// What is new is likely an ingredient where it is weighed, packaging where it is counted (as the server presets it).
document.addEventListener("change", (event) => {
  const unit = event.target;
  if (!unit.matches("select[name$='-unit']") || !unit.value) return;
  const kind = unit.form?.elements[unit.name.replace(/unit$/, "new_kind")];
  if (!kind?.hasAttribute("data-by-unit")) return;
  if (unit.value !== "pieces") kind.value = "ingredient";
  else if (["", "ingredient"].includes(kind.value)) kind.value = "packaging";
});

// Whoever types in the last line finds a blank one below, as when the server draws the form.
document.addEventListener("input", (event) => {
  const lines = linesOf(event.target);
  if (!lines?.hasAttribute("data-grows") || lines.lastElementChild !== event.target.closest("[data-line]")) return;
  addLine(lines);
});

// A name that was typed with a slip: what was meant instead takes its place, as if it had been typed.
document.addEventListener("change", (event) => {
  const chooser = event.target;
  if (!chooser.matches("select[name$='-new_kind']") || !chooser.value.startsWith("=")) return;
  const { elements } = chooser.form;
  const name = elements[chooser.name.replace("new_kind", "material")];
  name.value = chooser.value.slice(1);
  chooser.value = "";
  const line = chooser.closest("[data-line]");
  line.setAttribute("data-goes-on", "");
  toWhatLacks(line, chooser); // which goes away with the answer
  name.dispatchEvent(new Event("change", { bubbles: true }));
});

// --- what an answer fills in: only where nobody has typed. What was filled in may be filled in anew.

for (const kind of ["input", "change"]) {
  document.addEventListener(kind, (event) => event.isTrusted && event.target.setAttribute("data-by-hand", ""));
}

function mayFill(field, over) {
  const untouched = !field.hasAttribute("data-by-hand");
  if (field.type === "checkbox") return untouched && !field.checked;
  return field.value === "" || (untouched && [over, field.dataset.filled].includes(field.value));
}

function emptyAgain(line) {
  // Another material: what was filled in for the one before does not belong to it.
  for (const field of line?.querySelectorAll("[data-filled]") ?? []) {
    if (field.type === "checkbox") field.checked = false;
    else if (field.value === field.dataset.filled) field.value = field.dataset.was ?? "";
    delete field.dataset.filled;
  }
}

function fillIn(fill) {
  const form = fill.closest("form");
  const field = form?.elements[fill.dataset.into];
  const goesWith = JSON.parse(fill.dataset.with ?? "[]");
  if (!field || !mayFill(field, fill.dataset.over)) return;
  if (goesWith.some(([name, text]) => form.elements[name]?.value !== text)) return;
  field.dataset.was = fill.dataset.over;
  field.dataset.filled = fill.dataset.text;
  if (field.type === "checkbox") field.checked = true;
  else field.value = fill.dataset.text;
  if (field === document.activeElement) field.select?.(); // whoever is about to type there types over it
  const fold = field.closest("details:not([open])");
  fold?.setAttribute("open", "");
  fold?.setAttribute("data-by-itself", "");
  field.dispatchEvent(new Event("change", { bubbles: true }));
}

document.addEventListener("htmx:after:swap", (event) => {
  const target = document.getElementById(event.detail.ctx.target?.id);
  if (!target || isWholeForm(event.detail.ctx)) return;
  const line = target.id.startsWith("about-") ? target.closest("[data-line]") : null;
  if (line) emptyAgain(line);
  target.querySelectorAll("[data-into]").forEach(fillIn);
  if (!line?.hasAttribute("data-goes-on")) return;
  line.removeAttribute("data-goes-on");
  if (line.contains(document.activeElement)) toWhatLacks(line); // what was brought need not be typed
});

document.addEventListener("change", (event) => {
  const fold = event.target.name && document.querySelector(`details[data-opens="${event.target.name}"]`);
  if (fold && ![fold.dataset.unless, ""].includes(event.target.value.trim().toUpperCase())) fold.open = true;
});

// The links of an error summary lead into the field, not only to it.
document.addEventListener("click", (event) => {
  const link = event.target.closest("[data-faults] a[href^='#'], [data-doubts] a[href^='#']");
  const field = link && document.getElementById(link.hash.slice(1));
  if (!field) return;
  event.preventDefault();
  field.focus();
});

// --- answers that htmx brings

function answerPlace() {
  return document.getElementById("answer");
}

function sayAbove(section) {
  const place = answerPlace();
  place.replaceChildren(section);
  section.tabIndex = -1;
  section.focus();
}

function plainTrouble(title, words) {
  const section = document.createElement("section");
  section.className = "trouble";
  section.id = "trouble";
  for (const [tag, text] of [["h2", title], ["p", words]]) {
    section.append(Object.assign(document.createElement(tag), { textContent: text }));
  }
  return section;
}

function isWholeForm(ctx) {
  return ctx.sourceElement?.matches?.("form, button") ?? false;
}

// A refusal that is no form (a name taken where no field is meant, a page from an older fallback) is said above.
document.addEventListener("htmx:after:request", (event) => {
  const ctx = event.detail.ctx;
  if (ctx.response.status < 400) return;
  const answer = new DOMParser().parseFromString(ctx.text, "text/html");
  const trouble = answer.getElementById("trouble");
  const redraws = [409, 422, 428].includes(ctx.response.status);
  if (redraws && !trouble) return; // the form itself, with its faults
  event.preventDefault();
  const words = answer.querySelector("main p, body")?.textContent.trim();
  sayAbove(trouble ? document.importNode(trouble, true) : plainTrouble("That did not work", words || "Nothing was changed."));
});

document.addEventListener("htmx:error", (event) => {
  if (!event.detail?.ctx?.request || event.detail.ctx.response) return;
  sayAbove(plainTrouble("Brimful does not answer", "What you typed is still here. See that the program is running, then save again."));
});

// After a form came back: to its first error. Live figures beside a form never take the place of whoever is typing.
document.addEventListener("htmx:after:swap", (event) => {
  const ctx = event.detail.ctx;
  if (!isWholeForm(ctx)) return;
  answerPlace()?.replaceChildren();
  const places = ["main [aria-invalid=true]", "main [data-faults] a", "main [data-ask] input:not(:checked)"];
  places.map((place) => document.querySelector(place)).find(Boolean)?.focus();
});

// What is wrong with something that is typed is said at its field as it is typed; what is not typed yet is only listed.
function sayAt(field, sentence) {
  const place = field.closest(".field");
  if (!place) return;
  const said = Object.assign(document.createElement("span"), { className: "fault", id: `e-${field.name}`, textContent: sentence });
  place.classList.add("bad");
  place.append(said);
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", [field.getAttribute("aria-describedby"), said.id].filter(Boolean).join(" "));
}

function unsay(field) {
  const id = `e-${field.name}`;
  field.removeAttribute("aria-invalid");
  field.closest(".field")?.classList.remove("bad");
  field.closest(".field")?.querySelector(`[id="${id}"]`)?.remove();
  const ids = (field.getAttribute("aria-describedby") ?? "").split(" ").filter((one) => one && one !== id);
  if (ids.length) field.setAttribute("aria-describedby", ids.join(" "));
  else field.removeAttribute("aria-describedby");
}

document.addEventListener("htmx:after:swap", (event) => {
  const ctx = event.detail.ctx;
  const found = document.getElementById(ctx.target?.id);
  const form = ctx.sourceElement?.closest?.("form");
  if (!found?.hasAttribute("data-says") || !form) return;
  form.querySelectorAll("[aria-invalid=true][name]").forEach(unsay);
  form.querySelector("[data-faults]")?.remove(); // what was to put right when it was asked; it is listed anew
  for (const one of found.querySelectorAll("[data-at]")) {
    const field = form.querySelector(`[name="${one.dataset.at}"]`);
    if (field?.value) sayAt(field, one.dataset.fault);
  }
});

// A choice that redraws its form leaves what was typed while its answer was on the way.
const sent = new WeakMap();

function typedIn(form) {
  return new Map([...new FormData(form)].filter(([, value]) => typeof value === "string"));
}

function redrawn(ctx) {
  return ctx.sourceElement?.matches?.("[data-redraws]") ? document.getElementById(ctx.sourceElement.dataset.redraws) : null;
}

document.addEventListener("htmx:before:request", (event) => {
  const form = redrawn(event.detail.ctx);
  if (form) sent.set(event.detail.ctx, typedIn(form));
});

document.addEventListener("htmx:before:swap", (event) => {
  const form = redrawn(event.detail.ctx);
  const was = form && sent.get(event.detail.ctx);
  if (was) sent.set(event.detail.ctx, new Map([...typedIn(form)].filter(([name, value]) => was.get(name) !== value)));
});

document.addEventListener("htmx:after:swap", (event) => {
  const form = redrawn(event.detail.ctx);
  const since = form && sent.get(event.detail.ctx);
  for (const [name, value] of since ?? []) if (form.elements[name]) form.elements[name].value = value;
});

// A figure that a live answer changed settles for a moment (the style sheet honours reduced motion).
const before = new Map();

function figuresIn(id) {
  return [...(document.getElementById(id)?.querySelectorAll(".figure, .step .amount") ?? [])];
}

document.addEventListener("htmx:before:swap", (event) => {
  const id = event.detail.ctx.target?.id;
  if (id) before.set(id, figuresIn(id).map((figure) => figure.textContent));
});

document.addEventListener("htmx:after:swap", (event) => {
  const id = event.detail.ctx.target?.id;
  if (!id || isWholeForm(event.detail.ctx)) return;
  const texts = before.get(id) ?? [];
  figuresIn(id).forEach((figure, place) => figure.classList.toggle("settle", figure.textContent !== texts[place]));
});

document.addEventListener("animationend", (event) => event.target.classList?.remove("settle"));

// --- a file into a text area: what a program saved as UTF-8, UTF-16 or, if it is neither, in the old way of its system

function textOf(bytes) {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder("utf-16le").decode(bytes);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes);
  }
}

document.addEventListener("change", async (event) => {
  const area = document.getElementById(event.target.dataset?.readsInto);
  const file = event.target.files?.[0];
  if (!area || !file) return;
  const most = 200000; // more than a sheet that can be read; the answer says what is too much
  area.value = textOf(new Uint8Array(await file.slice(0, most).arrayBuffer()));
  area.focus();
});

function showWhatNeedsScript() {
  document.querySelectorAll("[data-with-script]").forEach((element) => (element.hidden = false));
}

showWhatNeedsScript();
document.addEventListener("htmx:after:swap", showWhatNeedsScript);
