/* Small helpers for hands that are busy: clicker, wedge scanner, running times. Everything works without them. */

import { hand } from "./hand.js";

const started = new WeakMap();

/** 102 -> "1:42" */
function clock(seconds) {
  const whole = Math.max(0, Math.floor(seconds));
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor(whole / 60) % 60;
  const left = String(whole % 60).padStart(2, "0");
  return hours ? `${hours}:${String(minutes).padStart(2, "0")}:${left}` : `${minutes}:${left}`;
}

function secondsSince(element) {
  if (!started.has(element)) started.set(element, performance.now());
  return (performance.now() - started.get(element)) / 1000;
}

function tick() {
  for (const element of document.querySelectorAll("[data-elapsed-s]")) {
    element.textContent = clock(Number(element.dataset.elapsedS) + secondsSince(element));
  }
  for (const element of document.querySelectorAll("[data-left-s]")) {
    const left = Math.max(0, Number(element.dataset.leftS) - secondsSince(element));
    element.textContent = clock(Math.ceil(left));
    const button = document.querySelector("[data-when-over]");
    if (button) button.disabled = left > 0;
  }
}

/* While a view lies over the page, its keys are its own. */
function isCovered() {
  return document.querySelector("dialog[open]") !== null;
}

function isTyping(element) {
  return element.matches("input:not([type=file]), textarea, select");
}

/* A clicker sends Space or Enter: it does the main action where nothing else has the focus. A wedge scanner types: its first
   character brings the focus to the label's field, so that no tap is needed before a scan. */
function onKey(event) {
  if (event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey) return;
  if (isCovered() || isTyping(event.target)) return;
  const wedge = document.querySelector("[data-wedge]");
  const isMain = event.key === "Enter" || event.key === " ";
  if (wedge && event.key.length === 1 && event.key !== " ") {
    wedge.focus();
    return;
  }
  if (!isMain || event.target.closest("a, button, summary, label, [type=file]")) return;
  const buttons = [...document.querySelectorAll("form[data-main] button.main")].filter(
    (one) => one.getClientRects().length,
  );
  if (buttons.length !== 1 || buttons[0].disabled) return;
  event.preventDefault();
  buttons[0].click();
}

/* The keys of a PIN stand on the page; the system's own would lie over them. */
function onNumberKey({ target }) {
  const key = target.closest?.("[data-key]")?.dataset.key;
  const field = key && target.closest("form").querySelector("[data-keyed]");
  if (field) field.value = key === "back" ? field.value.slice(0, -1) : field.value + key;
}

/* Those of a view that is closed are not asked for. */
const FIRST = ":is([autofocus], [data-focus]):not(dialog *)";

function focusField() {
  const field = document.querySelector("[aria-invalid]") ?? document.querySelector(FIRST);
  if (field && !document.activeElement?.matches("input, textarea")) field.focus({ preventScroll: true });
}

/* The swap itself would focus the field at once, and lay the page out for that. A scan need not wait for it: see onKey. */
function focusLater({ detail: { tasks } }) {
  for (const field of tasks.flatMap(({ fragment }) => [...fragment.querySelectorAll("[autofocus]")])) {
    field.removeAttribute("autofocus");
    field.dataset.focus = "";
  }
}

/* The step at hand comes again with other texts: what is typed there and not yet sent must not be lost with the old page. */
let typed = null;

function stepShown() {
  const { step, attempt } = document.querySelector(".step[data-step]")?.dataset ?? {};
  return `${step} ${attempt}`;
}

function keepTyped({ target }) {
  typed = null;
  if (!target.matches("[data-stay]")) return;
  const fields = [...document.querySelectorAll(".step .act")].flatMap((form) => [...form.elements]);
  const values = new Map(fields.filter((one) => one.id && isTyping(one)).map((one) => [one.id, one.value]));
  typed = { step: stepShown(), values };
}

function putTyped() {
  if (typed && typed.step === stepShown()) {
    for (const [id, value] of typed.values) {
      const field = document.getElementById(id);
      if (field) field.value = value;
    }
  }
  typed = null;
}

/* Of our pages only forms carry htmx's attributes: it need not look at every element for them, and be slow at that. */
function processForms(event) {
  if (event.target.matches("form")) return;
  event.preventDefault();
  for (const form of event.target.querySelectorAll("form[hx-post]")) window.htmx.process(form);
}

/* Not even an error came back, so nothing on the page has changed. Sending it again is safe: see static/core/act.js. */
function tellUnanswered({ target }) {
  const form = target.closest?.("form");
  const told = document.querySelector("[data-unanswered]");
  if (!form || !told) return;
  told.hidden = false;
  told.querySelector("button").onclick = () => {
    told.hidden = true;
    form.requestSubmit();
  };
}

function hideUnanswered() {
  const told = document.querySelector("[data-unanswered]:not([hidden])");
  if (told) told.hidden = true;
}

/* While a tap is on its way, it must look taken: once it is, for most are answered before that could be seen. A timer and
   not a transition, since to begin one has the page drawn while the answer is being made, and that waits for it. */
const SEEN_MS = 150;
let soon = null;

function lookSent({ target }) {
  clearTimeout(soon);
  soon = setTimeout(() => target.setAttribute("data-sent", ""), SEEN_MS);
}

function lookAnswered() {
  clearTimeout(soon);
  document.querySelector("[data-sent]")?.removeAttribute("data-sent");
}

/* So must one that leads to another page: not to a part of this one, a view's end, another window, or a file, of which
   nobody is told that it came. */
function lookLeaving(event) {
  const target = event.type === "submit" ? event.submitter : event.target.closest?.("a[href]");
  if (!target || event.defaultPrevented || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const { pathname } = target.form ? new URL(target.form.action) : target;
  if (target.target || target.hash || target.form?.method === "dialog" || /\.\w+$/.test(pathname)) return;
  lookSent({ target });
}

/* What is not seen waits until the page that answers a tap is painted: the next field's focus, voice, tones, wake lock. */
function tellPainted() {
  document.dispatchEvent(new Event("painted"));
}

document.addEventListener("keydown", onKey);
document.addEventListener("focusin", (event) => {
  if (event.target.matches("[data-wedge]")) event.target.select(); // the next scan replaces it
});
document.addEventListener("change", (event) => {
  if (event.target.matches("[data-send]") && event.target.files.length) event.target.form.requestSubmit();
});
document.addEventListener("click", onNumberKey);
document.addEventListener("htmx:before:process", processForms);
document.addEventListener("htmx:config:request", ({ detail: { ctx } }) => {
  ctx.fetch = hand;
});
document.addEventListener("htmx:error", tellUnanswered);
document.addEventListener("htmx:before:request", lookSent);
document.addEventListener("htmx:finally:request", lookAnswered);
document.addEventListener("submit", keepTyped);
document.addEventListener("submit", lookLeaving);
document.addEventListener("click", lookLeaving);
window.addEventListener("pageshow", lookAnswered); // somebody has come back to it
document.addEventListener("htmx:before:swap", focusLater);
document.addEventListener("htmx:after:swap", () => {
  hideUnanswered();
  putTyped();
  tick();
  window.scrollTo(0, 0);
  requestAnimationFrame(() => setTimeout(tellPainted));
});
document.addEventListener("painted", focusField);
document.documentElement.dataset.hands = "";
for (const field of document.querySelectorAll("[data-keyed]")) field.inputMode = "none";
setInterval(tick, 500);
tick();
focusField();
if (document.activeElement?.matches("[data-wedge]")) document.activeElement.select(); // it had the focus before

/* Nothing of this is needed to show a step. */
window.addEventListener("load", () => {
  if (document.querySelector("[data-lock]")) import("./page/lock.js");
  if (document.getElementById("job")) import("./page/senses.js");
});
