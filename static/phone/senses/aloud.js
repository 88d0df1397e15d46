/*
 * The step read aloud by the phone's own voice: what to do, the cautions, and then why. Beside a short text the full one
 * is read only where it has been opened. The button shows only where the browser has a voice for the page's language; one
 * that lies on the phone speaks without the network too.
 */

const speech = window.speechSynthesis;

/** @type {SpeechSynthesisVoice | undefined} */
let voice;

/** The page's language in its own country first, and a voice on the phone before one that needs the network. */
function findVoice() {
  const wanted = document.documentElement.lang.toLowerCase();
  const able = speech.getVoices().filter((one) => one.lang.toLowerCase().replace("_", "-").split("-")[0] === wanted);
  voice = able.find((one) => one.localService) ?? able[0];
  showButton();
}

function showButton() {
  const button = document.querySelector("[data-aloud]");
  if (!button) return;
  button.hidden = !voice;
  button.setAttribute("aria-pressed", String(speech.speaking));
}

function readAloud() {
  for (const part of document.querySelectorAll("[data-say]")) {
    if (part.dataset.say === "shown" && part.closest("details:not([open])")) continue;
    const said = new SpeechSynthesisUtterance(part.textContent.trim());
    said.voice = voice;
    said.lang = voice.lang;
    said.onstart = said.onend = said.onerror = showButton;
    speech.speak(said);
  }
}

function stop() {
  speech.cancel();
  showButton();
}

if (speech) {
  document.addEventListener("click", ({ target }) => {
    if (!target.closest("[data-aloud]")) return;
    if (speech.speaking || speech.pending) stop();
    else readAloud();
  });
  document.addEventListener("htmx:after:swap", showButton);
  document.addEventListener("painted", stop); // the step was left
  window.addEventListener("pagehide", stop);
  speech.onvoiceschanged = findVoice; // some engines tell their voices late
  stop();
  findVoice();
}
