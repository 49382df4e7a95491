// Keeps what is typed while it is typed, so that a closed tab loses nothing. Every page works without it.
"use strict";

{
  const PAUSE = 1000; // milliseconds without a key, after which what was typed is sent
  const ALONE = 60_000; // bytes that a browser still sends for a page that is being left
  let typedSince = false; // since the last sending
  let pause = 0;
  let underWay = null;

  // While a page is left, what it sends arrives in any order: each word has a number, and what comes late counts no more.
  const self = Array.from(crypto.getRandomValues(new Uint8Array(12)), (byte) => byte.toString(16).padStart(2, "0")).join("");
  let words = 0;
  const turn = () => `${self}-${++words}`;

  function formKept() {
    return document.querySelector("input[data-keep]")?.form ?? null;
  }

  // A form that asks by its address has what belongs to its keeping beside it, without names.
  function textsOf(form) {
    const texts = new URLSearchParams(new FormData(form));
    for (const one of form.querySelectorAll("[data-beside]")) texts.set(one.dataset.beside, one.value);
    texts.set("turn", turn());
    return texts;
  }

  async function send() {
    const form = formKept();
    clearTimeout(pause);
    if (!typedSince || !form) return;
    typedSince = false;
    const body = textsOf(form).toString();
    const headers = { "Content-Type": "application/x-www-form-urlencoded" };
    const sending = (underWay = new AbortController());
    const options = { method: "POST", body, headers, keepalive: body.length < ALONE, signal: sending.signal };
    const answer = await fetch(form.elements.draft.dataset.keep, options).catch(() => null);
    if (underWay === sending) underWay = null;
    if (typedSince) sendSoon();
    // Not kept, and the form was not sent either: the next key, or leaving the page, tries once more.
    else if (!answer?.ok && !sending.signal.aborted) typedSince = true;
  }

  function sendSoon() {
    clearTimeout(pause);
    pause = setTimeout(() => (underWay ? sendSoon() : send()), PAUSE);
  }

  function typed(event) {
    if (!event.target.closest?.("form")?.elements.draft?.dataset.keep) return;
    typedSince = true;
    // Whoever leaves a field may be about to leave the page.
    if (event.type === "change" && event.isTrusted && !underWay) send();
    else sendSoon();
  }

  for (const kind of ["input", "change", "lines"]) document.addEventListener(kind, typed);
  addEventListener("pagehide", send);
  document.addEventListener("visibilitychange", () => document.visibilityState === "hidden" && send());

  // A form that is sent is kept there, or saved; one that starts anew is forgotten. Nothing may come after that.
  const submitted = (event) => {
    const form = formKept();
    const sent = event.target.elements;
    if (!form || sent.draft?.value !== form.elements.draft.value) return;
    if (sent.turn) sent.turn.value = turn();
    clearTimeout(pause);
    typedSince = false;
    underWay?.abort();
    const { draft } = form.elements;
    if (!draft.dataset.forget) return;
    // It is asked: from now on it stands in the address.
    const body = new URLSearchParams({ draft: draft.value, turn: turn() }).toString();
    const headers = { "Content-Type": "application/x-www-form-urlencoded" };
    fetch(draft.dataset.forget, { method: "POST", body, headers, keepalive: true, redirect: "manual" }).catch(() => null);
  };
  document.addEventListener("submit", submitted, true); // before anything reads the form

  // The form did not arrive, or could not be stored: what stands in it is not kept anywhere yet. Of a part that is only
  // drawn anew nothing is to be told: it breaks off where the page is left for the answer, and what was asked stays forgotten.
  for (const kind of ["htmx:error", "htmx:after:request"]) {
    document.addEventListener(kind, (event) => {
      const ctx = event.detail?.ctx;
      if (!(ctx?.sourceElement instanceof HTMLFormElement) || !ctx.sourceElement.elements.draft) return;
      if (ctx.response && ctx.response.status < 500) return;
      typedSince = true;
      sendSoon();
    });
  }
}
