/**
 * The phone's own storage. Every change goes through `transact`; what lies in it is told in stores.js.
 */

import { findRoom } from "./room.js";
import { NAME, upgrade, VERSION } from "./stores.js";
import { isFull, isLost, isOfStorage, troubleOf } from "./trouble.js";

/** @type {Promise<IDBDatabase>?} */
let opened = null;

/** The disk was full: an engine says so once, and from then on only that it cannot open what lies there. */
let full = false;

/** The connection was lost once: what it was lost for may be a full disk, though the engine did not say so. */
let wasLost = false;

/** Of each store, how many transactions that may change it were begun in this worker's life. @type {Record<string, number>} */
let begun = {};

/** The same before a transaction and with it. @type {WeakMap<IDBTransaction, [Record<string, number>, Record<string, number>]>} */
const editions = new WeakMap();

/** @returns {Promise<IDBDatabase>} */
function database() {
  opened ??= (wasLost ? findRoom().then(() => open(VERSION)) : open(VERSION)).catch((error) => {
    opened = null;
    throw error;
  });
  return opened;
}

/**
 * Without a version: whatever is there, as it is.
 * @param {number} [version]
 * @returns {Promise<IDBDatabase>}
 */
function open(version) {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, version);
    request.onupgradeneeded = () => upgrade(request.result, /** @type {IDBTransaction} */ (request.transaction));
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const held = request.result;
      held.onclose = forget;
      held.onversionchange = () => {
        held.close();
        forget();
      };
      resolve(held);
    };
  });
}

function forget() {
  opened = null;
  wasLost = true;
}

/**
 * Do `work` in one transaction, strictly durable. What it returns comes only after `complete`, when the bytes are on
 * the disk; where it throws, nothing was changed. `work` may wait for nothing but requests of its own transaction.
 *
 * A system may drop the connection while the app is in the background: then it is opened again, and the work done
 * once more. Work must therefore bear to be done twice; a tap does, its guard sees the first.
 *
 * Throws what `work` throws, or StorageTrouble.
 * @template T
 * @param {string[]} stores @param {IDBTransactionMode} mode @param {(transaction: IDBTransaction) => Promise<T>} work
 * @returns {Promise<T>}
 */
export async function transact(stores, mode, work) {
  try {
    const found = await once(stores, mode, work).catch((error) => {
      if (!isLost(error)) throw error;
      forget();
      if (isFull(error)) throw error;
      return once(stores, mode, work);
    });
    full = false;
    return found;
  } catch (error) {
    if (!isOfStorage(error)) throw error;
    full ||= isFull(error);
    throw troubleOf(error, full);
  }
}

/**
 * @template T
 * @param {string[]} stores @param {IDBTransactionMode} mode @param {(transaction: IDBTransaction) => Promise<T>} work
 * @returns {Promise<T>}
 */
async function once(stores, mode, work) {
  const transaction = (await database()).transaction(stores, mode, { durability: "strict" });
  const before = begun;
  if (mode === "readwrite")
    begun = { ...begun, ...Object.fromEntries(stores.map((name) => [name, (begun[name] ?? 0) + 1])) };
  editions.set(transaction, [before, begun]);
  const ended = new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve(undefined);
    transaction.onabort = () => reject(transaction.error ?? new DOMException("aborted", "AbortError"));
  });
  try {
    const found = await work(transaction);
    await ended;
    return found;
  } catch (error) {
    ended.catch(() => undefined);
    giveUp(transaction);
    throw transaction.error ?? error; // where the engine gave it up, a request only says that it did
  }
}

/**
 * Which edition of these stores a transaction meets, and which one it leaves: the same where it only reads. What was
 * worked out of one edition holds as long as that is met, since nobody but this worker writes, and transactions on the
 * same stores run one after another in the order in which they were begun.
 * @param {IDBTransaction} transaction @param {string[]} stores
 */
export function editionsOf(transaction, stores) {
  const [before, after] = (editions.get(transaction) ?? [{}, {}]).map((counts) =>
    stores.map((name) => counts[name] ?? 0).join(" "),
  );
  return { before, after };
}

/** @param {IDBTransaction} transaction */
function giveUp(transaction) {
  try {
    transaction.abort();
  } catch {
    // It had ended by itself: there is nothing left to give up.
  }
}

/**
 * @template T
 * @param {IDBRequest<T>} request
 * @returns {Promise<T>}
 */
export function ask(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/**
 * One record, read by itself; undefined where there is none.
 * @param {string} store @param {string} key
 * @returns {Promise<any>}
 */
export function read(store, key) {
  return transact([store], "readonly", (transaction) => ask(transaction.objectStore(store).get(key)));
}

/**
 * All records of a store, or those that an index holds.
 * @param {string} store @param {string} [index] @param {IDBValidKey} [key]
 * @returns {Promise<any[]>}
 */
export function readAll(store, index, key) {
  return transact([store], "readonly", (transaction) => {
    const kept = transaction.objectStore(store);
    return ask(index ? kept.index(index).getAll(key) : kept.getAll());
  });
}

/** @param {string} store @param {any} record */
export function write(store, record) {
  return transact([store], "readwrite", (transaction) => ask(transaction.objectStore(store).put(record)));
}

/**
 * Everything that can still be read of a store, of whatever version, by whatever means: the last resort. What cannot
 * be read is left out; `whole` tells whether anything was.
 * @param {string} store
 * @returns {Promise<{found: any[], whole: boolean}>}
 */
export async function salvage(store) {
  /** @type {any[]} */
  const found = [];
  try {
    const held = await open();
    try {
      if (!held.objectStoreNames.contains(store)) return { found, whole: true };
      await walk(held.transaction(store).objectStore(store), found);
    } finally {
      held.close();
    }
    return { found, whole: true };
  } catch {
    return { found, whole: false };
  }
}

/** @param {IDBObjectStore} kept @param {any[]} found filled as far as it goes */
function walk(kept, found) {
  return new Promise((resolve, reject) => {
    const request = kept.openCursor();
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const cursor = request.result;
      if (!cursor) return resolve(undefined);
      found.push(cursor.value);
      cursor.continue();
    };
  });
}
