/** Packets that are on their way, so that a tap can wait for one and two pages do not ask twice. */

/** @type {Map<string, Promise<void>>} */
const loading = new Map();

/**
 * @param {string} job @param {() => Promise<void>} load
 * @returns {Promise<void>}
 */
export function once(job, load) {
  const coming = loading.get(job) ?? load().finally(() => loading.delete(job));
  loading.set(job, coming);
  return coming;
}

/** @param {string} job */
export function underway(job) {
  return loading.get(job) ?? null;
}
