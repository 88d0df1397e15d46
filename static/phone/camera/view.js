/**
 * The camera's view over the page: opens on a tap, says in large words what it sees, and closes by itself after a read,
 * when the page is left, and when another app comes to the front.
 */

import { decodersFor } from "./decoder.js";
import { LOOKS_KEPT, moving } from "./evidence.js";
import { readPhoto } from "./photo.js";
import { hasTorch, setTorch, show, stop, troubleOf } from "./stream.js";

/** @typedef {{text: string, via: "camera" | "photo", sure: boolean}} Read */

const EVERY_MS = 80;
const SIDE_PX = 1920;
/** So long without a picture, or with a black one, and the view says so. */
const BLACK_MS = 4_000;

/**
 * Show the view until something is read: null where it was closed before.
 * @param {HTMLDialogElement} dialog @param {import("./accept.js").Accept} accept
 * @returns {Promise<Read?>}
 */
export async function look(dialog, accept) {
  const view = new View(dialog, accept);
  try {
    return await view.read();
  } finally {
    view.end();
  }
}

class View {
  /** @param {HTMLDialogElement} dialog @param {import("./accept.js").Accept} accept */
  constructor(dialog, accept) {
    this.dialog = dialog;
    this.accept = accept;
    this.video = /** @type {HTMLVideoElement} */ (dialog.querySelector("video"));
    this.says = /** @type {HTMLElement} */ (dialog.querySelector("[data-camera-says]"));
    this.torch = /** @type {HTMLButtonElement} */ (dialog.querySelector("[data-camera-torch]"));
    this.again = /** @type {HTMLButtonElement} */ (dialog.querySelector("[data-camera-again]"));
    this.photo = /** @type {HTMLInputElement} */ (dialog.querySelector("[data-camera-photo]"));
    /** @type {MediaStream?} */
    this.stream = null;
    this.opened = 0; // how often the camera was opened or closed: what comes late from an earlier time is let go
    this.shooting = false; // then the phone's own camera app is in front, and comes back here
    this.ended = new AbortController();
    /** @type {(read: Read?) => void} */
    this.done = () => undefined;
  }

  /** @returns {Promise<Read?>} */
  read() {
    return new Promise((resolve) => {
      const { signal } = this.ended;
      const leave = () => document.visibilityState === "hidden" && !this.shooting && this.shut();
      this.done = resolve;
      this.dialog.addEventListener("close", () => resolve(null), { signal });
      this.again.addEventListener("click", () => this.open(), { signal });
      this.torch.addEventListener("click", () => this.light(), { signal });
      this.photo.addEventListener("click", () => this.shoot(), { signal });
      this.photo.addEventListener("change", () => this.take(), { signal });
      document.addEventListener("visibilitychange", leave, { signal });
      window.addEventListener("pagehide", () => this.shut(), { signal });
      // A dialog tells that it has closed only after it is gone from the page; by then the camera is to be off.
      this.dialog.addEventListener("submit", () => this.dark(), { signal });
      this.dialog.addEventListener("cancel", ({ target }) => target === this.dialog && this.dark(), { signal });
      this.dialog.showModal();
      this.open();
    });
  }

  /** The camera first: a page on its way into the background may not come to the second. */
  shut() {
    this.dark();
    this.dialog.close();
  }

  /** Close the camera and the view, whatever became of it. */
  end() {
    this.ended.abort();
    this.dark();
    this.say("nothing");
    if (this.dialog.open) this.dialog.close();
  }

  dark() {
    this.opened += 1;
    if (this.stream) stop(this.stream);
    this.stream = null;
    this.video.srcObject = null;
  }

  async open() {
    this.dark();
    this.shooting = false;
    this.again.hidden = true;
    this.torch.hidden = true;
    this.say("starting");
    const mine = this.opened;
    try {
      const stream = await show(this.video);
      if (this.opened !== mine) {
        this.video.srcObject = this.stream;
        return stop(stream);
      }
      this.stream = stream;
      this.torch.hidden = !hasTorch(stream);
      this.torch.setAttribute("aria-pressed", "false");
    } catch (error) {
      return this.opened === mine ? this.stuck(troubleOf(error)) : undefined;
    }
    return this.watch(this.stream);
  }

  /**
   * Look again and again, as long as this stream is the one that is shown.
   * @param {MediaStream} stream
   */
  async watch(stream) {
    this.say("looking");
    const decoders = await decodersFor(this.accept.formats);
    /** @type {import("./evidence.js").Sight[][]} */
    let looks = [];
    let bright_at = performance.now();
    for (let thorough = false; this.stream === stream; thorough = !thorough) {
      const from = performance.now();
      const seen = await this.glance(decoders, thorough);
      if (this.stream !== stream) return;
      if (seen === undefined) return this.stuck("undecoded");
      if (seen && !seen.black) bright_at = performance.now();
      if (seen) looks = [...looks, seen.sights].slice(-LOOKS_KEPT);
      const { finding, text } = moving(looks, this.accept);
      if (finding === "read") return this.done({ text, via: "camera", sure: true });
      if (performance.now() - bright_at > BLACK_MS) this.stuck("black");
      else this.say(finding);
      await later(EVERY_MS - (performance.now() - from));
    }
  }

  /**
   * One look; null where there is no picture yet, undefined where no decoder works.
   * @param {import("./decoder.js").Decode[]} decoders @param {boolean} thorough
   */
  async glance(decoders, thorough) {
    if (this.video.readyState < HTMLMediaElement.HAVE_CURRENT_DATA) return null;
    while (decoders.length) {
      const picture = await createImageBitmap(this.video).catch(() => null);
      if (!picture) return null;
      try {
        return await decoders[0](picture, SIDE_PX, thorough);
      } catch {
        decoders.shift(); // a platform's detector may be there and not work
      }
    }
    return undefined;
  }

  /** The phone's own camera app is about to open: it needs the camera for itself. */
  shoot() {
    this.shooting = true;
    this.dark();
    this.torch.hidden = true;
    this.stuck("shooting");
  }

  /** A photo taken from the view: for a label out of the stream's reach. */
  async take() {
    const [file] = this.photo.files ?? [];
    if (!file) return;
    this.dark();
    this.say("reading");
    const undecoded = { finding: "undecoded", text: "", sure: false };
    const { finding, text, sure } = await readPhoto(file, this.accept).catch(() => undecoded);
    this.photo.value = "";
    if (finding === "read") this.done({ text, via: "photo", sure });
    else this.stuck(finding === "looking" ? "unread" : finding);
  }

  async light() {
    if (!this.stream) return;
    const on = this.torch.getAttribute("aria-pressed") !== "true";
    await setTorch(this.stream, on).catch(() => undefined);
    this.torch.setAttribute("aria-pressed", String(on));
  }

  /** @param {string} what one of the words that the page's template has ready */
  say(what) {
    if (this.says.dataset.says === what) return;
    this.says.dataset.says = what;
    this.says.textContent = this.says.getAttribute(`data-${what}`) ?? "";
  }

  /** @param {string} what */
  stuck(what) {
    this.say(what);
    this.again.hidden = false;
  }
}

/** @param {number} wait_ms */
function later(wait_ms) {
  return new Promise((resolve) => setTimeout(() => requestAnimationFrame(resolve), Math.max(0, wait_ms)));
}
