/**
 * The phone's own storage. A store's name says what lies in it; every change goes through `transact`.
 *
 * A new version of the app adds stores and indexes and never removes what an older one wrote.
 */

const NAME = "baybook";
const VERSION = 1;

/** Every store, and what its records are named by. */
const STORES = {
  device: { keyPath: "name" }, // this phone: id, the seq given last, the clock as it was read last, its key
  jobs: { keyPath: "job" }, // which sheet, up to which place of the server's journal, what was agreed
  sheets: { keyPath: "hash" },
  states: { keyPath: "job" }, // a snapshot: the fold of all events known of the job
  events: { keyPath: "id" },
  photos: { keyPath: "sha256" },
  shelf: { keyPath: "name" }, // the kit, the badges, who is working
  sync: { keyPath: "name" }, // when it was tried last, and what came of it
};
const INDEXES = [
  ["events", "job", "job"],
  ["events", "job-unsent", ["job", "unsent"]],
  ["events", "unsent", "unsent"], // only an event that the server has not acknowledged carries the field
  ["photos", "unsent", "unsent"],
];

/** @type {Promise<IDBDatabase>?} */
let opened = null;

/** @returns {Promise<IDBDatabase>} */
function database() {
  opened ??= open().catch((error) => {
    opened = null;
    throw error;
  });
  return opened;
}

/** @returns {Promise<IDBDatabase>} */
function open() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
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
}

/** @param {IDBDatabase} held @param {IDBTransaction} change */
function upgrade(held, change) {
  for (const [name, options] of Object.entries(STORES)) {
    if (!held.objectStoreNames.contains(name)) held.createObjectStore(name, options);
  }
  for (const [store, index, path] of INDEXES) {
    const kept = change.objectStore(store);
    if (!kept.indexNames.contains(index)) kept.createIndex(index, path);
  }
}

/**
 * Do `work` in one transaction, strictly durable. What it returns comes only after `complete`, when the bytes are on
 * the disk; where it throws, nothing was changed. `work` may wait for nothing but requests of its own transaction.
 *
 * A system may drop the connection while the app is in the background: then it is opened again, and the work done
 * once more. Work must therefore bear to be done twice; a tap does, its guard sees the first.
 * @template T
 * @param {string[]} stores @param {IDBTransactionMode} mode @param {(transaction: IDBTransaction) => Promise<T>} work
 * @returns {Promise<T>}
 */
export async function transact(stores, mode, work) {
  try {
    return await once(stores, mode, work);
  } catch (error) {
    if (!isLost(error)) throw error;
    forget();
    return await once(stores, mode, work);
  }
}

/** @param {unknown} error */
function isLost(error) {
  return error instanceof DOMException && ["InvalidStateError", "UnknownError", "AbortError"].includes(error.name);
}

/**
 * @template T
 * @param {string[]} stores @param {IDBTransactionMode} mode @param {(transaction: IDBTransaction) => Promise<T>} work
 * @returns {Promise<T>}
 */
async function once(stores, mode, work) {
  const transaction = (await database()).transaction(stores, mode, { durability: "strict" });
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
    throw error;
  }
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
