/** Today on this phone: what it holds, what it plans, and what the shop told of last. */

import { dayFacts } from "../../core/intake.js";
import { mayCountersign } from "../../core/kinds/countersign.js";
import { awayRow, endedRow, openRow, plannedRow, todayView, toLookAt } from "../../core/view/today.js";
import { waitingRow, waitingView } from "../../core/view/waiting.js";
import { mayVouch } from "../../core/view/witness.js";
import { dayOf, newId, readClock, timeOf, today } from "../clock.js";
import { drafts } from "../drafts.js";
import { tap } from "../tap.js";
import { told as truthInWords } from "../truth.js";
import { heldJobs } from "./jobs.js";
import { goOn, page } from "./page.js";
import { startJob } from "./start.js";

/** @import { Facts } from "../../core/intake.js" */
/** @import { Sheet, View } from "../../core/types.js" */
/** @import { Held } from "./jobs.js" */
/** @import { Asked } from "./page.js" */
/** @import { Shop } from "../shelf.js" */

const ENDED_SHOWN = 8;

/** @param {Asked} asked */
export async function showToday(asked) {
  const { shop, words } = asked;
  const [held, plans] = [await heldJobs(), await drafts()];
  const known = new Set([...held.map((one) => one.facts.id), ...plans.map((one) => one.id)]);
  const away = (/** @type {Facts[]} */ rows) => rows.filter((one) => !known.has(one.id) && one.sort !== "day");
  const { open, planned, ended, release } = shop.told;
  const rows = rowsOf(asked);
  const supervises = mayCountersign(shop.person);
  const view = todayView(
    dayCheck(held, shop),
    [...rows.open(held), ...away(open).map(rows.away)],
    [...plans.filter((one) => one.phase === "planning"), ...away(planned)].map(rows.planned),
    rows.ended([...endedHere(held, plans), ...away(ended).map(atShop)]),
    words.say,
    supervises ? waiting(held, asked).length : 0,
    supervises ? release : null,
  );
  view.today.vouches = supervises;
  return page(asked, "nav-today", view);
}

/**
 * What waits for a supervisor, of the jobs that this phone holds: for one, what they may vouch for; else all of it.
 * @param {Asked} asked
 */
export async function showWaiting(asked) {
  const view = waitingView(waiting(await heldJobs(), asked));
  view.waiting.vouches = mayCountersign(asked.shop.person);
  return page(asked, "waiting-title", view);
}

/** @param {Held[]} held @param {Asked} asked */
function waiting(held, { shop: { people, person }, words: { say, sheet: worded } }) {
  const names = Object.fromEntries(Object.entries(people).map(([code, { name }]) => [code, name]));
  return held
    .filter(({ facts, state }) => facts.sort === "calibration" && state.phase === "open")
    .flatMap(({ sheet, state }) => waitingRow(worded(/** @type {Sheet} */ (sheet)), state, names, say) ?? [])
    .filter((one) => !mayCountersign(person) || mayVouch(person, one.doer));
}

/** The rows of the page's lists. @param {Asked} asked */
function rowsOf({ shop: { library }, words: { say, sheet: worded } }) {
  const { clock } = readClock(undefined);
  const marked = (/** @type {View} */ row, apart = false) => (apart ? toLookAt(row, say) : row);
  return {
    open: (/** @type {Held[]} */ held) =>
      held
        .filter(({ facts, state }) => facts.sort === "calibration" && state.phase === "open")
        .map(({ sheet, state, truth, apart }) =>
          marked(openRow(worded(/** @type {Sheet} */ (sheet)), state, clock, say, truthInWords(truth, say)), apart),
        ),
    away: (/** @type {Facts} */ facts) => awayRow(library, facts, say),
    planned: (/** @type {Facts} */ facts) => plannedRow(library, facts, say),
    ended: (/** @type {Ended[]} */ ended) =>
      ended
        .sort((one, other) => (one.at < other.at ? 1 : -1))
        .slice(0, ENDED_SHOWN)
        .map(({ facts, at, url, apart }) => marked(endedRow(library, facts, dayOf(at), url, say), apart)),
  };
}

/** @typedef {{facts: Facts, at: string, url: string, apart?: boolean}} Ended */

/** @param {Held[]} held @param {Facts[]} plans @returns {Ended[]} */
function endedHere(held, plans) {
  const worked = held.filter(({ facts, state }) => facts.sort === "calibration" && state.phase !== "open");
  const dropped = plans.filter((one) => one.phase === "abandoned");
  return [
    ...worked.map(({ facts, state, apart }) => ({ facts, at: state.ended_at ?? "", url: `/jobs/${facts.id}`, apart })),
    ...dropped.map((facts) => ({ facts, at: facts.finished_at, url: `/jobs/${facts.id}/drop` })),
  ];
}

/** @param {Facts} facts @returns {Ended} */
function atShop(facts) {
  return { facts, at: facts.finished_at ?? facts.created_at, url: `/jobs/${facts.id}/record` };
}

/**
 * The day's equipment check: valid (begun today and finished), running (begun today), or due.
 * @param {Held[]} held @param {Shop} shop
 */
function dayCheck(held, { told }) {
  const last = lastCheck(held, told.check);
  if (!last || dayOf(last.started_at) !== today()) return { status: "due", job: null, time: "" };
  if (last.finished_at) return { status: "valid", job: last.id, time: timeOf(last.finished_at) };
  return { status: "running", job: last.id, time: "" };
}

/**
 * The check that was begun last, here or as the shop told.
 * @param {Held[]} held @param {{id: string, started_at: string, finished_at: string?}?} told
 */
function lastCheck(held, told) {
  const own = held
    .filter((one) => one.facts.sort === "day" && one.state.phase !== "abandoned")
    .map(({ facts, state }) => ({ id: facts.id, started_at: state.started_at ?? "", finished_at: state.ended_at }));
  const all = told && !held.some((one) => one.facts.id === told.id) ? [...own, told] : own;
  return all.sort((one, other) => (one.started_at < other.started_at ? 1 : -1))[0] ?? null;
}

/**
 * Begin today's check, or go on with the one that runs already; one left open on another day ends here.
 * @param {Asked} asked
 */
export async function beginCheck({ shop, words }) {
  const held = await heldJobs();
  const { status, job } = dayCheck(held, shop);
  if (status === "valid")
    return goOn(held.some((one) => one.facts.id === job) ? `/jobs/${job}` : `/jobs/${job}/record`);
  if (status === "running") return goOn(`/jobs/${job}`);
  const overtaken = { do: "abandon", reason: words.say("today-check-overtaken") };
  for (const { facts, state } of held) {
    if (facts.sort !== "day" || state.phase !== "open") continue;
    await tap(facts.id, overtaken, { id: newId(), photo: null, witness: null, seal: null });
  }
  const facts = dayFacts(newId());
  await startJob(shop, facts, null, []);
  return goOn(`/jobs/${facts.id}`);
}
