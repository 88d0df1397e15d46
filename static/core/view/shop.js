/** The pages around the jobs: what each has about it, and the few that say little more than one thing. */

import { groups } from "../vin.js";

/** @import { Say, View } from "../types.js" */

const PAGES = [
  ["/", "nav-today"],
  ["/times", "nav-times"],
  ["/kit", "nav-kit"],
  ["/people", "nav-people"],
  ["/phones", "nav-phones"],
];

/**
 * A page with its head: who works with this phone, and the ways to the other pages.
 * @param {string} path @param {string} title @param {string?} person @param {View} content @param {Say} say
 * @returns {View}
 */
export function shopPage(path, title, person, content, say) {
  const pages = PAGES.map(([one, word]) => ({ path: one, word: say(word), here: one === path }));
  return { path, title, who: person || say("nav-no-badge"), pages, ...content };
}

/**
 * Who is working? `person` and `role` are those of whoever has the phone now; `to` is where they go on to.
 * @param {string?} person @param {string?} role @param {Say} say @param {string?} [error] @param {string} [text]
 * @param {string} [to]
 * @returns {View}
 */
export function badgeView(person, role, say, error = null, text = "", to = "") {
  const now = person ? say("badge-now", { name: person, role: say(`role-${role}`) }) : null;
  return { badge: { now, error, text, to } };
}

/**
 * The PIN of whoever's `badge` was scanned, by its text; or, without one, of whoever had the phone when it was locked.
 * @param {string} name @param {string} badge @param {Say} say @param {string?} [error] @param {string} [to]
 * @returns {View}
 */
export function pinView(name, badge, say, error = null, to = "") {
  const [title, button] = badge ? [say("pin-asks"), say("pin-button")] : [say("pin-locked"), say("badge-button")];
  return { pin: { title, button, name, badge, error, to } };
}

/**
 * Why a planned job is dropped; of one that was (`facts.plan.dropped`), why it was.
 * @param {View} facts @param {Say} say @param {{message: string, field: string}?} [error] @param {string} [reason]
 * @returns {View}
 */
export function dropView(facts, say, error = null, reason = "") {
  const dropped = facts.plan.dropped ?? null;
  return {
    drop: {
      url: `/jobs/${facts.id}`,
      heading: dropped ? say("job-is-abandoned") : say("drop-title"),
      order: facts.repair_order || say("today-no-order"),
      vin: groups(facts.vin).join(" "),
      dropped,
      error: error?.message ?? null,
      wrong: error?.field === "reason",
      reason,
    },
  };
}

/**
 * A form that was not taken, to be looked at and sent again with all that it says; a PIN and a file it asks for anew.
 * @param {string} url @param {[string, string][]} fields @param {string[]} files @param {Say} say @returns {View}
 */
export function againView(url, fields, files, say) {
  const asked = [...new Set(fields.map(([name]) => name).filter(isSecret))];
  const kept = fields.filter(([name]) => !isSecret(name)).map(([name, value]) => ({ name, value }));
  return {
    again: {
      url,
      kept,
      shown: kept.filter(({ value }) => value.trim()),
      secrets: asked.map((name) => ({ name, label: say("again-pin") })),
      files: files.map((name) => ({ name, label: say("again-file") })),
    },
  };
}

/** @param {string} name */
function isSecret(name) {
  return name.endsWith("pin");
}

/** @param {string} heading @param {string} message @returns {View} */
export function refusedView(heading, message) {
  return { refused: { heading, message } };
}
