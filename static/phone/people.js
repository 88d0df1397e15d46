/**
 * Telling the shop who works with this phone: who began, with what PIN, and whether they still are at work. The shop's
 * own pages go by it, and what it says of a PIN stands beside the work.
 */

import { newId } from "./clock.js";
import { ask, read, transact } from "./database.js";
import { tell } from "./sign-in.js";

/** @import { SignIn } from "./sign-in.js" */

const AGAIN_S = 60;

/**
 * Tell the shop, where it has not heard. A phone that was never begun with asks who began in this browser.
 * @param {import("./signed.js").Me} me
 */
export async function agreeOnPerson(me) {
  const who = await read("shelf", "who");
  if (!who) return askPerson(me);
  const untold = (await read("shelf", "sign-ins"))?.untold ?? [];
  const isUsed = who.person && !who.locked && (who.used_s ?? 0) > (who.told_s ?? 0) + AGAIN_S;
  if (!untold.length && !who.untold && !isUsed) return;
  const at_work = who.person && !who.locked ? (who.sign_in?.id ?? null) : null;
  const told = await tell(me, {
    sign_ins: untold.map((/** @type {SignIn} */ one) => ({ ...one, begun: true })),
    at_work,
  });
  await hear(who, told);
}

/**
 * What the shop made of the PINs. A wrong one ends what was begun with it.
 * @param {any} before @param {{answers: any[]}} told
 */
function hear(before, { answers }) {
  const ended = new Map(answers.filter((one) => one.right !== null).map((one) => [one.id, one.right]));
  return transact(["shelf"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("shelf");
    const [who, sign_ins] = await Promise.all(["who", "sign-ins"].map((name) => ask(kept.get(name))));
    const untold = (sign_ins?.untold ?? []).filter((/** @type {SignIn} */ one) => !ended.has(one.id));
    kept.put({ name: "sign-ins", untold });
    const { sign_in, person } = who;
    if (sign_in && ended.get(sign_in.id) === false) {
      kept.put({ name: "who", person: null, untold: true, wrong: { name: person?.name ?? "", at: sign_in.at } });
      return;
    }
    const checked = sign_in && { ...sign_in, unchecked: sign_in.unchecked && !ended.has(sign_in.id) };
    const isSame = who.untold === before.untold && sign_in?.id === before.sign_in?.id && who.locked === before.locked;
    kept.put({ ...who, sign_in: checked, untold: isSame ? false : who.untold, told_s: before.used_s ?? 0 });
  });
}

/**
 * Whoever began in this browser before it was a paired phone's, with their PIN: the session's cookie, which no script
 * can read, knows them.
 * @param {import("./signed.js").Me} me
 */
async function askPerson(me) {
  const device = await read("device", "me");
  const taken = { id: newId(), seq: (device?.seq ?? 0) + 1, at: new Date().toISOString() };
  const { person } = await tell(me, { sign_ins: [], take: taken });
  await transact(["shelf"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("shelf");
    if ((await ask(kept.get("who")))?.untold) return;
    const used_s = Math.floor(Date.now() / 1000);
    const about = person ? { used_s, told_s: used_s, sign_in: { id: taken.id, at: taken.at, unchecked: false } } : {};
    kept.put({ name: "who", person, untold: false, ...about });
  });
}

/** The same at once, after somebody began at the shop's own page, since this phone held too little of the shop. */
export async function askWho() {
  const me = await read("device", "me");
  if (me?.key) await askPerson(me);
}
