/**
 * Sending what only this phone has. An acknowledgement that goes back (the server was put back from an older backup)
 * makes the phone send again what is missing there.
 */

import { ask, readAll, transact } from "./database.js";
import { factsTaken, factsToSend } from "./facts.js";
import { send } from "./signed.js";

const MOST_EVENTS = 200;

/**
 * Everything that only this phone has: the facts of jobs begun here, and events. What came of it is written down before
 * more is sent.
 * @param {import("./signed.js").Me} me
 */
export async function sendEvents(me) {
  for (let before = ""; ; ) {
    const unsent = (await readAll("events", "unsent")).sort((one, other) => one.seq - other.seq);
    const begun = await factsToSend();
    if (!unsent.length && !begun.length) return;
    const first = JSON.stringify([unsent[0]?.seq, begun]);
    if (first === before) throw new Error(`the shop did not take event ${unsent[0]?.seq}`);
    before = first;
    const events = unsent.slice(0, MOST_EVENTS).map((event) => event.line);
    await sendBatch(me, events, begun);
  }
}

/**
 * One batch, and what came of it. One that carries nothing is answered with what the server has of this phone.
 * @param {import("./signed.js").Me} me @param {string[]} events @param {string[]} [jobs]
 */
export async function sendBatch(me, events, jobs = []) {
  const said = JSON.stringify({ events, jobs, mono_s: performance.now() / 1000 });
  const told = await (await send(me, "POST", "/sync/batches", new TextEncoder().encode(said))).json();
  await acknowledge(me.id, told.highest, told.answers);
  await factsTaken(me.id, told);
}

/**
 * Up to `highest` the server has this phone's events on its disk; whatever lies above it has to be sent.
 * @param {string} device @param {number} highest @param {Record<string, any>[]} answers
 */
function acknowledge(device, highest, answers) {
  const aside = new Map(answers.filter((one) => one.status === "aside").map((one) => [one.seq, one.error.message]));
  return transact(["device", "events"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("events");
    const me = await ask(transaction.objectStore("device").get("me"));
    const unsent = await ask(kept.index("unsent").getAll());
    const above = unsent.filter((event) => event.device === device && event.seq > highest).length;
    // All that was made since is marked already, unless the server knows less than it did: only then is all looked at.
    const all = highest + above === me?.seq ? unsent : await ask(kept.getAll());
    for (const event of all) {
      if (event.device !== device || event.seq <= highest === !event.unsent) continue;
      const { unsent, provisional: _checked, ...sent } = event;
      const why = aside.get(event.seq);
      kept.put(unsent ? { ...sent, ...(why ? { aside: why } : {}) } : { ...event, unsent: 1 });
    }
  });
}
