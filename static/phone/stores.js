/**
 * What lies in the phone's own storage, in which stores.
 *
 * A new version of the app adds stores and indexes and never removes or rewrites what an older one wrote; tests hold a
 * sample of every version that was ever served.
 */

export const NAME = "baybook";
export const VERSION = 3;

/** Every store, and what its records are named by. */
const STORES = {
  device: { keyPath: "name" }, // this phone: id, the seq given last, the clock as it was read last, its key
  jobs: { keyPath: "job" }, // which sheet, up to which place of the server's journal, what was agreed
  sheets: { keyPath: "hash" },
  states: { keyPath: "job" }, // a snapshot: the fold of all events known of the job
  events: { keyPath: "id" },
  photos: { keyPath: "sha256" },
  shelf: { keyPath: "name" }, // kit, badges and times; the library; who is working; what the shop told of its jobs
  drafts: { keyPath: "id" }, // jobs that are being planned here, as facts (webapp/core/intake.py)
  sync: { keyPath: "name" }, // when it was tried last and what came of it; how much of a photo is there; how long jobs stay
};
const INDEXES = [
  ["events", "job", "job"],
  ["events", "job-unsent", ["job", "unsent"]],
  ["events", "unsent", "unsent"], // only an event that the server has not acknowledged carries the field
  ["events", "job-provisional", ["job", "provisional"]], // vouched for with a PIN that the shop has not checked yet
  ["events", "job-aside", ["job", "aside"]], // what the shop keeps outside the journal, by why
  ["photos", "unsent", "unsent"],
  ["photos", "job", "job"],
  ["photos", "job-unsent", ["job", "unsent"]],
];

/** @param {IDBDatabase} held @param {IDBTransaction} change */
export function upgrade(held, change) {
  for (const [name, options] of Object.entries(STORES)) {
    if (!held.objectStoreNames.contains(name)) held.createObjectStore(name, options);
  }
  for (const [store, index, path] of INDEXES) {
    const kept = change.objectStore(store);
    if (!kept.indexNames.contains(index)) kept.createIndex(index, path);
  }
}
