/*
 * Locks the page when nobody has touched it for so long: the view lies over the page, which stays as it is with all that
 * was typed. Whoever had the phone gives their PIN and goes on at the very same place.
 */

const DONE = 204;
const LOOK = "/static/css/pin.css";
const LOOKED_MS = 5_000;

const view = document.querySelector("[data-lock]");
const told_again_ms = Math.min(60, Number(view?.dataset.afterS) / 10) * 1000;
let used = Date.now();
let told = Date.now();

if (view) {
  for (const kind of ["pointerdown", "keydown", "input"]) document.addEventListener(kind, use, true);
  for (const kind of ["visibilitychange", "pageshow"]) addEventListener(kind, look, true);
  document.addEventListener("htmx:after:swap", () => document.querySelector("[data-locked]") && lock());
  view.addEventListener("cancel", (event) => event.preventDefault());
  view.querySelector("form").addEventListener("submit", unlock);
  setInterval(look, LOOKED_MS);
}

/* A hand on the page: whoever answers it is told, since what is only typed would not tell. */
function use() {
  if (view.open || isOver()) return;
  used = Date.now();
  if (used - told < told_again_ms) return;
  told = used;
  send({ used: "1" }).catch(() => undefined);
}

function isOver() {
  return Math.abs(Date.now() - used) > Number(view.dataset.afterS) * 1000;
}

function look() {
  if (!view.open && isOver()) lock();
}

function lock() {
  if (view.open) return;
  dress();
  for (const other of document.querySelectorAll("dialog[open]")) other.close();
  view.showModal();
  view.querySelector("[data-keyed]").focus();
}

/* Nothing of its look is needed before. */
function dress() {
  if (document.querySelector(`link[href="${LOOK}"]`)) return;
  const link = document.createElement("link");
  link.rel = "stylesheet";
  link.href = LOOK;
  document.head.append(link);
}

/* A badge that is scanned here is somebody else's turn: that is the page's own business. */
async function unlock(event) {
  event.preventDefault();
  const field = view.querySelector("[data-keyed]");
  if (/\D/.test(field.value)) {
    field.name = "badge";
    event.target.submit();
    return;
  }
  const says = view.querySelector("[data-lock-says]");
  const answer = await send({ pin: field.value }).catch(() => null);
  field.value = "";
  if (answer?.status === DONE) {
    used = Date.now();
    told = used;
    says.hidden = true;
    view.close();
    for (const one of document.querySelectorAll("[data-locked]")) one.remove();
    return;
  }
  const error = answer && (await answer.json().catch(() => null))?.error;
  says.textContent = error?.message ?? says.dataset.away;
  says.hidden = false;
  field.focus();
}

function send(fields) {
  const body = new URLSearchParams({ ...fields, token: view.querySelector("[name=token]").value });
  return fetch("/badge", { method: "POST", body, headers: { Accept: "application/json" } });
}
