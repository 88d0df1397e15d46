/*
 * The phone's own camera as a scanner. What it reads goes into the field that a wedge scanner types into, so that guard
 * and verdict are the same. Everything behind this file loads when the camera is first wanted.
 *
 * A button says what it asks for and where it goes: data-camera="label|vin", data-into="the field's id". A field that is
 * not the last one of its form carries data-then="the next field's id".
 */

const secure = window.isSecureContext;
const live = secure && Boolean(navigator.mediaDevices?.getUserMedia);
document.documentElement.dataset.picture = live ? "live" : secure ? "none" : "insecure";

document.addEventListener("click", (event) => {
  const button = event.target.closest("[data-camera]");
  if (button) scan(button);
});
document.addEventListener("change", (event) => {
  if (event.target.matches("[data-read]") && event.target.files.length) send(event.target);
});

async function scan(button) {
  const [{ ACCEPTS }, { look }] = await Promise.all([import("../camera/accept.js"), import("../camera/view.js")]);
  const found = await look(document.querySelector("[data-camera-view]"), ACCEPTS[button.dataset.camera]);
  if (found && button.isConnected) give(button.dataset, found);
}

/*
 * A photo chosen on the page itself. The phone reads it where it can; else it goes to the shop's server, which looks
 * longer. On plain http the server is there anyway, and the decoder need not be fetched for it.
 */
async function send(input) {
  const found = secure ? await readHere(input) : null;
  if (found) {
    input.value = "";
    give(input.dataset, { ...found, via: "photo" });
  } else input.form.requestSubmit();
}

async function readHere(input) {
  const [{ ACCEPTS }, { readPhoto }] = await Promise.all([import("../camera/accept.js"), import("../camera/photo.js")]);
  const found = await readPhoto(input.files[0], ACCEPTS[input.dataset.read]).catch(() => null);
  return found?.finding === "read" ? found : null;
}

/* What is not sure is left in the field, for a person to compare. */
function give({ into, then }, { text, via, sure }) {
  const field = document.getElementById(into);
  field.value = text;
  if (field.form.elements.via) field.form.elements.via.value = via;
  if (then) document.getElementById(then).focus();
  else if (sure) field.form.requestSubmit();
  else field.focus();
}
