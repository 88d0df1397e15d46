/*
 * Starts the phone's own server once this phone is paired, and tells it when to bring work home. On plain http, or
 * unpaired, the shop answers everything.
 */

const EVERY_MS = 60_000;

/* A flat battery may take what a page has written down just now; a worker that answers shows that this phone is paired. */
const own = window.isSecureContext ? navigator.serviceWorker : undefined;
if (own && (own.controller || isPaired())) {
  own.register("/sw.js", { scope: "/", updateViaCache: "none" });
  own.addEventListener("controllerchange", () => bringHome());
  const bringHome = async () => (await own.ready).active?.postMessage("sync");
  own.addEventListener("message", ({ data }) => showTruth(data));
  window.addEventListener("online", bringHome);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && bringHome());
  setInterval(bringHome, EVERY_MS);
  bringHome();
}

/* Where a browser keeps nothing, asking is refused. */
function isPaired() {
  try {
    return localStorage.getItem("baybook-device") !== null;
  } catch {
    return false;
  }
}

/* The head of every page says where the data is; when that changes, the page need not be loaded anew. */
function showTruth({ job, truth, synced }) {
  if (synced) openWhatWaited().catch(() => undefined);
  const shown = document.querySelector("a[data-truth]");
  if (!shown || (document.querySelector("[data-job]")?.dataset.job ?? null) !== job) return;
  shown.hidden = false;
  shown.className = `truth ${truth.class}`;
  shown.dataset.truth = truth.class;
  shown.toggleAttribute("data-ready", truth.ready);
  shown.textContent = truth.text;
}

/* What waits for the shop may be checked by now; opened anew only then, since each opening has work brought home. */
async function openWhatWaited() {
  const waits = document.querySelector("[data-waits]");
  if (!waits) return;
  const answer = await fetch(window.location.href);
  if (!answer.ok) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").querySelector("[data-waits]");
  if (fresh?.textContent !== waits.textContent) window.location.reload();
}
