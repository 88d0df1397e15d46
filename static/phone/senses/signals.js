/*
 * A good scan and a bad one can be told apart without a look: by the pattern of the sounds, not only their pitch, and by
 * the phone's vibration where it has one. Whoever works beside others turns both off on this phone.
 */

const KEPT = "baybook-quiet";
/* One short high tone; two long low ones. Times in s from now, pitch in Hz. */
const PATTERNS = {
  good: { tones: [[0, 0.12, 1320]], shakes_ms: [60] },
  bad: {
    tones: [
      [0, 0.28, 220],
      [0.4, 0.28, 220],
    ],
    shakes_ms: [250, 120, 250],
  },
};
const LOUDNESS = 0.35;
const EDGE_S = 0.01; // without it a tone begins and ends with a click

let context = null;
let scanned = false;

/** As the page says, where the browser will not keep it. */
let chosen = false;

export function isQuiet() {
  try {
    return localStorage.getItem(KEPT) !== null;
  } catch {
    return chosen;
  }
}

/** @param {boolean} quiet */
function beQuiet(quiet) {
  chosen = quiet;
  try {
    if (quiet) localStorage.setItem(KEPT, "1");
    else localStorage.removeItem(KEPT);
  } catch {
    // It holds as long as this page does.
  }
}

/** Play "good" or "bad", and mark it on the page for whoever wants to know what was played. */
export function signal(name) {
  if (isQuiet()) return;
  const { tones, shakes_ms } = PATTERNS[name];
  navigator.vibrate?.(shakes_ms);
  for (const tone of tones) sound(tone);
  document.documentElement.dataset.signalled = name;
}

function sound([from_s, long_s, pitch_hz]) {
  if (!context) return; // no tap yet: a browser would not let it sound
  const begins = context.currentTime + from_s;
  const tone = new OscillatorNode(context, { type: "triangle", frequency: pitch_hz });
  const volume = new GainNode(context, { gain: 0 });
  volume.gain.setValueAtTime(0, begins);
  volume.gain.linearRampToValueAtTime(LOUDNESS, begins + EDGE_S);
  volume.gain.setValueAtTime(LOUDNESS, begins + long_s - EDGE_S);
  volume.gain.linearRampToValueAtTime(0, begins + long_s);
  tone.connect(volume).connect(context.destination);
  tone.start(begins);
  tone.stop(begins + long_s);
}

/* Sound may begin only in a hand's own action; and a phone stops it while another app is in front. */
function wake() {
  if (!globalThis.AudioContext || isQuiet()) return;
  context ??= new AudioContext();
  if (context.state !== "running") context.resume().catch(() => undefined);
}

/* The verdict of the scan just made; a step that is done with it has gone on to the next one. */
function tellVerdict() {
  if (!scanned) return;
  scanned = false;
  const bad = document.querySelector("#job .refused, #job .notice, #job [data-verdict]:not([data-verdict=inside])");
  signal(bad ? "bad" : "good");
}

function showSwitch() {
  const box = document.querySelector("[data-signals]");
  if (box) box.checked = !isQuiet();
}

document.addEventListener("pointerdown", wake);
document.addEventListener("keydown", wake);
document.addEventListener("submit", ({ target }) => {
  scanned = target.elements.do?.value === "scan";
});
document.addEventListener("change", ({ target }) => {
  if (!target.matches("[data-signals]")) return;
  beQuiet(!target.checked);
  wake();
  signal("good");
});
document.addEventListener("htmx:after:swap", showSwitch);
document.addEventListener("painted", tellVerdict); // to set up a sound takes longer than to draw a page
showSwitch();
