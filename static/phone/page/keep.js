/*
 * What is typed on the way to a job is kept field by field, so that a reload or another app's turn loses nothing. Only
 * what is right can be kept; what is wrong the form's own button tells.
 *
 * Each time it is the whole form that is sent: what was sent first must not arrive last, or it would undo what came after.
 * So one is sent when the one before has been answered, and the form's own button waits for that as well.
 */

const PATIENCE_MS = 5_000;
const SEEN_MS = 150;

/** The one that has not been answered yet. @type {Promise<unknown>?} */
let underway = null;
/** The form, where it has changed since. @type {HTMLFormElement?} */
let changed = null;
let isPressed = false;

function send(form) {
  const body = new FormData(form);
  body.set("go", "keep");
  const about = { method: "POST", body, redirect: "manual", keepalive: true };
  return fetch(form.action, { ...about, signal: AbortSignal.timeout(PATIENCE_MS) }).catch(() => undefined);
}

async function keep(form) {
  changed = form;
  if (underway) return;
  while (changed) {
    const one = changed;
    changed = null;
    underway = send(one);
    await underway;
  }
  underway = null;
}

async function press(form, button) {
  isPressed = true;
  changed = null; // the button sends all of it
  const soon = setTimeout(() => form.setAttribute("data-sent", ""), SEEN_MS);
  await underway;
  clearTimeout(soon);
  form.removeAttribute("data-sent");
  isPressed = false;
  form.requestSubmit(button);
}

document.addEventListener("change", ({ target }) => {
  const { form } = target;
  // Another model has other questions: that is decided with the button beside it.
  if (form?.matches("[data-keep]") && target.name !== "vehicle") keep(form);
});

document.addEventListener("submit", (event) => {
  if (!underway || !event.target.matches("[data-keep]")) return;
  event.preventDefault();
  if (!isPressed) press(event.target, event.submitter);
});
