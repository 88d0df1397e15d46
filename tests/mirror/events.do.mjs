// The journal's record, read and named by the phone.
import { fromDict, KINDS, newId, nextRound, place } from "../../static/core/events.js";

export { fromDict };

export function eventKinds() {
  return KINDS;
}

export function eventId([unixMs, noise]) {
  return newId(unixMs, BigInt(noise));
}

export function roundAfter([last, device]) {
  return nextRound(last ? place(last) : null, device);
}
