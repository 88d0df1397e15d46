/**
 * When a phone that nobody uses locks itself. Whoever had it gives their PIN, and goes on where they were.
 *
 * Seconds are those of the wall's clock: a phone that was switched off meanwhile must be locked, too.
 */

const MARK_S = 60;

/**
 * Whether so much time has passed since it was used last; a clock that was set back counts as passed, too.
 * @param {number | undefined} used_s @param {number} now_s @param {number} after_s
 */
export function isLocked(used_s, now_s, after_s) {
  return used_s !== undefined && Math.abs(now_s - used_s) > after_s;
}

/**
 * Whether a use now has to be noted, so that the lock comes no more than a tenth of its time too early.
 * @param {number | undefined} used_s @param {number} now_s @param {number} after_s
 */
export function isWorthNoting(used_s, now_s, after_s) {
  return used_s === undefined || now_s - used_s > Math.min(MARK_S, after_s / 10);
}
