/**
 * The short text or the full one, as whoever has this phone chooses. It counts here at once; the shop hears of it with the
 * next sync, and until then what it says of its people does not undo it.
 */

import { chosen, procedureOf, withChoice } from "../core/short.js";
import { ask, read, transact } from "./database.js";
import { progressOf } from "./journal.js";
import { send } from "./signed.js";
import { useIn } from "./who.js";

const MOST_CHOICES = 500;

/** @import { Given } from "../core/types.js" */
/** @typedef {Record<string, {name: string, role: string, short?: string[], levels?: Record<string, string>}>} People by their badges */
/** @typedef {{person: string, procedure: string, texts: string}} Choice */

/**
 * Keep a choice, and return the job as it is read then; null where the phone does not hold the job. Throws what
 * `chosen` and `procedureOf` do.
 * @param {string} job @param {Given} given
 */
export async function choose(job, given) {
  const at = await progressOf(job);
  if (!at) return null;
  const procedure = procedureOf(at.sheet, given.step ?? "");
  const person = await transact(["shelf"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("shelf");
    const [who, shelf, told] = await Promise.all(["who", "shelf", "choices"].map((name) => ask(kept.get(name))));
    const now = useIn(transaction, who, shelf).person;
    const choice = { person: now?.code, procedure, texts: given.texts ?? "" };
    const after = { ...now, short: chosen(now, procedure, choice.texts) };
    kept.put({ ...who, person: after });
    kept.put({ name: "choices", untold: withoutOlder(told?.untold ?? [], choice) });
    // What the shop has of its people is not what lies here, so that its ETag counts no more.
    if (shelf) kept.put({ ...shelf, people: withChoices(shelf.people ?? {}, [choice]), etag: null });
    return after;
  });
  return { ...at, person };
}

/** @param {Choice[]} untold @param {Choice} choice */
function withoutOlder(untold, choice) {
  const others = untold.filter((one) => one.person !== choice.person || one.procedure !== choice.procedure);
  return [...others, choice];
}

/**
 * The people as the shop told of them, with what was chosen here and the shop has not heard of.
 * @param {People} people @param {Choice[]} untold
 */
export function withChoices(people, untold) {
  const after = { ...people };
  for (const { person, procedure, texts } of untold) {
    if (!Object.hasOwn(after, person)) continue;
    after[person] = { ...after[person], short: withChoice(after[person].short ?? [], procedure, texts) };
  }
  return after;
}

/**
 * Tell the shop what was chosen here. What it does not take (from an apprentice, or from somebody who has left) the shelf
 * puts right when it comes next.
 * @param {import("./signed.js").Me} me
 */
export async function sendChoices(me) {
  const untold = ((await read("shelf", "choices"))?.untold ?? []).slice(0, MOST_CHOICES);
  if (!untold.length) return;
  await send(me, "POST", "/sync/choices", new TextEncoder().encode(JSON.stringify({ choices: untold })));
  const sent = new Set(untold.map(spelled));
  await transact(["shelf"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("shelf");
    const now = await ask(kept.get("choices"));
    kept.put({ ...now, untold: now.untold.filter((/** @type {Choice} */ one) => !sent.has(spelled(one))) });
  });
}

/** @param {Choice} choice */
function spelled({ person, procedure, texts }) {
  return `${person} ${procedure} ${texts}`;
}
