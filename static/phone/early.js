/** What this phone answers before a job is started: Today, the badge, a new job, its intake, plan and start. */

/** @type {Record<string, string>} */
const PATHS = {
  "/": "today",
  "/badge": "badge",
  "/waiting": "waiting",
  "/phone/vouch": "vouch",
  "/jobs/new": "new",
  "/equipment-check": "check",
  "/language": "language",
};
const OF_JOB = /^\/jobs\/([0-9a-f-]{36})\/(intake|plan|start|drop)$/;

/** @typedef {{what: string, job: string}} Early */

/**
 * What a path asks for; null where it is none of these.
 * @param {URL} url
 * @returns {Early?}
 */
export function earlyRoute({ pathname }) {
  if (Object.hasOwn(PATHS, pathname)) return { what: PATHS[pathname], job: "" };
  const [, job, what] = OF_JOB.exec(pathname) ?? [];
  return job ? { what, job } : null;
}
