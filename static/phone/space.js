/** Room on the phone, looked at before something large is kept: what then still fails is undone whole by the browser. */

import { StorageTrouble } from "./trouble.js";

/**
 * A job brings a sheet with its drawings (0.3 MB), some hundred events (1 kB each) and up to a dozen photos (1 MB each, 2 at most):
 * so much must be free before one is taken along. A browser needs as much again while it puts its files in order.
 */
export const JOB_BYTES = 30_000_000;

/** Beside a photo its event must fit, and the events of the rest of the job. */
export const PHOTO_SPARE_BYTES = 5_000_000;

/**
 * Bytes used and bytes that may still come; nulls where the browser does not say.
 * @returns {Promise<{used: number?, free: number?}>}
 */
export async function space() {
  const { usage, quota } = (await navigator.storage?.estimate?.()) ?? {};
  if (usage === undefined || quota === undefined) return { used: null, free: null };
  return { used: usage, free: Math.max(0, quota - usage) };
}

/**
 * Throws StorageTrouble (`storage-full`) where fewer bytes are free.
 * @param {number} bytes @param {string} what
 */
export async function needRoom(bytes, what) {
  const { free } = await space();
  if (free === null || free >= bytes) return;
  const [has, needs] = [free, bytes].map((one) => (one / 1e6).toFixed(1));
  const message = `${what} needs ${needs} MB on this phone and ${has} MB are free: nothing was kept. Free some space first`;
  throw new StorageTrouble("storage-full", "storage", message);
}
