/**
 * Bringing the journal home. Never awaited by a tap; one run at a time, each request with a limit of time.
 *
 * Nothing is taken off the phone before the server has acknowledged it.
 */

import { agreeWithShop, loadTexts } from "./chosen.js";
import { ask, read, transact } from "./database.js";
import { fetchNews } from "./news.js";
import { loadShelf } from "./packet.js";
import { sendPhotos } from "./photos.js";
import { keepSecond } from "./second.js";
import { sendEvents } from "./sending.js";
import { LIMIT_MS, Refused } from "./signed.js";
import { sendChoices } from "./texts.js";
import { leave, seat } from "./who.js";
import { isAway, whyOf } from "./why.js";

/** @type {Promise<void>?} */
let running = null;
let again = false;

/** Start a run, or let the one underway be followed by another. Never throws: what went wrong is kept, to be shown. */
export function sync() {
  again = running !== null;
  running ??= run().finally(() => {
    running = null;
  });
  return running;
}

async function run() {
  do {
    again = false;
    await once();
  } while (again);
}

/** One thing that fails does not keep the others from being tried, as long as the shop can be reached at all. */
async function once() {
  const me = await read("device", "me");
  if (!me?.key) return;
  const tried_at = new Date().toISOString();
  // Where the shop was away before, it may take long to find it so again: what lies here is copied first.
  if ((await read("sync", "last"))?.why) await keepSecond(me.id);
  /** @type {unknown} */
  let wrong = null;
  for (const part of [knock, agreeWithShop, sendEvents, sendPhotos, sendChoices, loadShelf, fetchNews, loadTexts]) {
    try {
      await part(me);
    } catch (error) {
      wrong ??= error;
      if (error instanceof Refused && error.code === "device-revoked") await endHere();
      if (isAway(error)) break;
    }
  }
  const why = wrong && whyOf(wrong);
  await note(why ? { tried_at, why } : { tried_at, ended_at: new Date().toISOString(), why: null });
  await keepSecond(me.id);
}

/** The shop has turned this phone away: whoever worked with it does no more. What lies here stays. */
async function endHere() {
  if ((await seat()).holder) await leave();
}

/** After a try that failed: while the shop is out of reach a whole backlog would be read and signed for nobody. */
async function knock() {
  const last = await read("sync", "last");
  if (last?.why) await fetch("/phone/who", { cache: "no-store", signal: AbortSignal.timeout(LIMIT_MS) });
}

/** @param {Record<string, any>} said */
function note(said) {
  return transact(["sync"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("sync");
    await ask(kept.put({ ...(await ask(kept.get("last"))), name: "last", ...said }));
  });
}
