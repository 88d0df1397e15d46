/** Whether there is room on the phone to open its storage again. */

/** An engine that opens its files again writes them anew, at most so large. */
const OPENING_BYTES = 5_000_000;
const TRIAL = "room";

/**
 * Try whether there is room to open the storage again. On a full disk one engine damages its database in opening it, and
 * then throws it away (second.js); what it tells of free space is the same on every disk. So it is tried with files that
 * may be lost.
 *
 * Throws QuotaExceededError where there is none.
 */
export async function findRoom() {
  try {
    const trial = await caches.open(TRIAL);
    await trial.put("/room", new Response(new Uint8Array(OPENING_BYTES)));
  } catch {
    throw new DOMException("no room was found to open the storage again", "QuotaExceededError");
  } finally {
    await caches.delete(TRIAL).catch(() => undefined);
  }
}
