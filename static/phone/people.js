/**
 * Who is working on this phone. The phone's own word counts for what is done here; the shop's session, which the pages
 * that only the shop has go by, is told as soon as it can be.
 */

import { ask, read, transact } from "./database.js";
import { tell } from "./telling.js";

const LIMIT_MS = 15_000;

/** Tell the shop, where it has not heard; a phone that has never been told asks whose badge the session holds. */
export async function agreeOnPerson() {
  const who = await read("shelf", "who");
  if (!who) await askPerson();
  else if (who.untold) await tell(who, "label", "/badge", who.person ? { badge: who.label } : { leave: "1" });
}

/** The session's cookie knows whose badge the shop was shown, which no script can read. */
export async function askPerson() {
  const answer = await fetch("/phone/who", { signal: AbortSignal.timeout(LIMIT_MS), cache: "no-store" });
  if (!answer.ok) throw new Error(`/phone/who answered ${answer.status}`);
  const { person } = await answer.json();
  await transact(["shelf"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("shelf");
    const now = await ask(kept.get("who"));
    if (!now?.untold) kept.put({ name: "who", person, label: "", untold: false });
  });
}
