/** What the page of this phone's own data says: from what was gathered to the JSON that its template needs. */

import { told } from "../truth.js";

/** @import { Say, View } from "../../core/types.js" */
/** @import { HeldJob, Kept } from "./gather.js" */

/** @type {Record<string, string>} */
const WHYS = {
  offline: "kept-why-offline",
  unreachable: "kept-why-unreachable",
  timeout: "kept-why-timeout",
  refused: "kept-why-refused",
  storage: "kept-why-storage",
  fault: "kept-why-fault",
  "device-revoked": "kept-why-revoked",
  "device-unknown": "kept-why-unknown",
  "signature-wrong": "kept-why-unknown",
};
const PAIR_AGAIN = ["device-revoked", "device-unknown", "signature-wrong"];
export const DAYS = [0, 1, 7, 30, 90];

/**
 * @param {Kept} kept @param {Say} say @param {{now: Date, version: string, sending?: boolean, waiting?: boolean}} about
 * @returns {View}
 */
export function keptView(kept, say, { now, version, sending = false, waiting = false }) {
  const unsent = kept.jobs.filter(({ truth }) => truth.unsent || truth.photos);
  return {
    says: unsent.length ? say("kept-says-unsent") : say("kept-says-sent"),
    has_unsent: unsent.length > 0,
    unsent: unsent.map((one) => unsentRow(one, say)),
    asides: kept.jobs.flatMap((one) => one.aside.map((why) => ({ order: orderOf(one, say), why }))),
    has_asides: kept.jobs.some((one) => one.aside.length),
    ...triedView(kept.last, say, now, sending),
    has_jobs: kept.jobs.length > 0,
    jobs: kept.jobs.map((one) => jobRow(one, say)),
    ...spaceView(kept, say),
    days: DAYS.map((days) => ({ days, says: daysSay(days, say), chosen: days === kept.keep_days })),
    former: copiesView(kept.former, say),
    has_former: kept.former.length > 0,
    app: say("kept-app", { version, phone: kept.phone }),
    waiting,
  };
}

/**
 * What is said where this phone's storage is gone.
 * @param {import("../second.js").Copy[]} copies @param {Say} say
 */
export function lostView(copies, say) {
  return { has_copies: copies.length > 0, copies: copiesView(copies, say) };
}

/**
 * Second copies of journals whose own storage was lost.
 * @param {import("../second.js").Copy[]} copies @param {Say} say
 */
function copiesView(copies, say) {
  return copies.map(({ device, entries }) => ({ device, says: say("kept-entries", { count: entries }) }));
}

/** @param {number} days @param {Say} say */
function daysSay(days, say) {
  return days ? say("kept-days", { count: days }) : say("kept-days-none");
}

/** @param {HeldJob} job @param {Say} say */
function orderOf({ sheet }, say) {
  return sheet.job.repair_order || say("job-day-check");
}

/** @param {HeldJob} job */
function vehicleOf({ sheet }) {
  return sheet.vehicle ? `${sheet.vehicle.maker} ${sheet.vehicle.model}` : "";
}

/** @param {HeldJob} job @param {Say} say */
function unsentRow(job, say) {
  const { unsent } = job.truth;
  const parts = unsent ? [say("kept-entries", { count: unsent })] : [];
  for (const { bytes, sent_bytes } of job.photos) {
    parts.push(say(sent_bytes ? "kept-photo-begun" : "kept-photo", { size: mb(bytes), sent: mb(sent_bytes) }));
  }
  return { url: `/jobs/${job.job}`, order: orderOf(job, say), vehicle: vehicleOf(job), what: parts.join(" · ") };
}

/**
 * When it was tried last, and why it did not work.
 * @param {Record<string, any>?} last @param {Say} say @param {Date} now @param {boolean} sending
 */
function triedView(last, say, now, sending) {
  if (sending) return { tried: say("kept-sending"), sending, ended: null, why: null };
  if (!last?.tried_at) return { tried: say("kept-untried"), ended: null, why: null };
  const tried = say("kept-tried", { time: timeOf(new Date(last.tried_at), now) });
  if (!last.why) return { tried, ended: null, why: null };
  // Earlier versions of the app kept the browser's own words alone.
  const why = typeof last.why === "string" ? { code: "fault", message: last.why } : last.why;
  return {
    tried,
    ended: last.ended_at ? say("kept-ended", { time: timeOf(new Date(last.ended_at), now) }) : null,
    why: say(WHYS[why.code] ?? "kept-why-fault", { message: why.message }),
    pair: PAIR_AGAIN.includes(why.code),
  };
}

/** @param {HeldJob} job @param {Say} say */
function jobRow(job, say) {
  const where = [told(job.truth, say).text];
  if (job.phase !== "open") where.push(say(job.phase === "finished" ? "job-is-finished" : "job-is-abandoned"));
  if (job.leaves_at_ms !== null) where.push(say("kept-leaves", { day: dayOf(new Date(job.leaves_at_ms)) }));
  else if (job.phase !== "open") where.push(say("kept-stays"));
  return { url: `/jobs/${job.job}`, order: orderOf(job, say), title: vehicleOf(job), where: where.join(" · ") };
}

/** @param {Kept} kept @param {Say} say */
function spaceView({ persisted, used, free }, say) {
  const space = used === null || free === null ? say("kept-space-unknown") : say("kept-space", sizes(used, free));
  return { persisted, persistence: say(persisted ? "kept-persisted" : "kept-not-persisted"), space };
}

/** @param {number} used @param {number} free */
function sizes(used, free) {
  return { used: mb(used), free: free > 1e9 ? `${(free / 1e9).toFixed(1)} GB` : mb(free) };
}

/** @param {number} bytes */
function mb(bytes) {
  return `${(bytes / 1e6).toFixed(1)} MB`;
}

/** @param {Date} date */
function dayOf(date) {
  return [date.getFullYear(), two(date.getMonth() + 1), two(date.getDate())].join("-");
}

/** @param {Date} date @param {Date} now */
function timeOf(date, now) {
  const time = `${two(date.getHours())}:${two(date.getMinutes())}`;
  return dayOf(date) === dayOf(now) ? time : `${dayOf(date)} ${time}`;
}

/** @param {number} value */
function two(value) {
  return String(value).padStart(2, "0");
}
