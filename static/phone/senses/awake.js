/*
 * The screen stays awake while a job is worked on: not while it is paused, and not once it has ended. A phone takes the
 * lock away whenever another app comes to the front, so it is asked for again on the way back.
 */

let lock = null;

function isWorking() {
  return document.querySelector("#job") !== null && document.querySelector("#job [data-rest]") === null;
}

async function settle() {
  if (!navigator.wakeLock || document.visibilityState !== "visible") return;
  if (isWorking() && !lock) await take();
  else if (!isWorking() && lock) await lock.release();
}

/* A low battery may refuse it: then the screen goes dark as it otherwise would, and the next page asks again. */
async function take() {
  const held = await navigator.wakeLock.request("screen").catch(() => null);
  if (!held) return;
  lock = held;
  held.addEventListener("release", () => {
    lock = null;
  });
}

document.addEventListener("visibilitychange", settle);
document.addEventListener("painted", settle);
settle();
