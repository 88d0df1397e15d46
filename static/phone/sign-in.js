/**
 * Beginning to work with this phone. The PIN is sealed for the shop, which is asked at once; where it cannot be reached
 * the work begins all the same, and the PIN is checked when it can be. Nothing to try a PIN out on is kept here.
 */

import { BadInput, NotAllowed } from "../core/errors.js";
import { newId } from "./clock.js";
import { ask, read, transact } from "./database.js";
import { seal } from "./seal.js";
import { Refused, send } from "./signed.js";

/** @import { Person } from "../core/types.js" */
/** @typedef {{id: string, person: string, at: string, seq: number, seal: object}} SignIn `seq` of the first event under it */

const PIN = /^[0-9]{4,8}$/;
const LIMIT_MS = 3_000;

/**
 * Let somebody begin. Throws NotAllowed where the shop says that the PIN is wrong, or that this phone was turned away.
 * @param {Person} person @param {string} pin
 */
export async function signIn(person, pin) {
  if (!PIN.test(pin)) throw new NotAllowed("pin-wrong", "pin", `pin is not that of ${person.name}; type it again`);
  const [me, shelf] = await Promise.all([read("device", "me"), read("shelf", "shelf")]);
  if (!me?.key || !shelf?.sealing_key) {
    throw new BadInput(
      "not-paired",
      "badge",
      "this phone knows too little of the shop; open it once within its network",
    );
  }
  const id = newId();
  const sealed = await seal(shelf.sealing_key, pin, id);
  /** @type {SignIn} */
  const made = { id, person: person.code, at: new Date().toISOString(), seq: (me.seq ?? 0) + 1, seal: sealed };
  const told = await tell(me, { sign_ins: [made], at_work: id }, LIMIT_MS).catch(orAway);
  const [answer] = told?.answers ?? [];
  if (answer?.error) throw new NotAllowed(answer.error.code, answer.error.field, answer.error.message);
  const used_s = Math.floor(Date.now() / 1000);
  await transact(["shelf"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("shelf");
    const sign_in = { id, at: made.at, unchecked: !answer };
    kept.put({ name: "who", person, untold: !answer, used_s, told_s: answer ? used_s : 0, sign_in });
    if (answer) return;
    const before = (await ask(kept.get("sign-ins")))?.untold ?? [];
    kept.put({ name: "sign-ins", untold: [...before, made] });
  });
}

/**
 * @param {import("./signed.js").Me} me @param {object} said @param {number} [limit_ms]
 * @returns {Promise<any>}
 */
export async function tell(me, said, limit_ms) {
  const body = new TextEncoder().encode(JSON.stringify(said));
  return (await send(me, "POST", "/sync/sign-ins", body, {}, limit_ms)).json();
}

/** The shop cannot be reached, or not use its head now; what it refuses counts. @param {unknown} error */
function orAway(error) {
  if (error instanceof Refused && error.status < 500) throw new NotAllowed(error.code, "badge", error.message);
  return null;
}
