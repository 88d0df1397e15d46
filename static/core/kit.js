/**
 * The shop's kit as a scan meets it: which item a name stands for, whether it may be used, what is placed already.
 *
 * A name that a procedure asks for stands for an item by the item's code or by what it `is`, so that any of three equal
 * reflectors will do. A pair with only a target or only a spot is a label that is simply read.
 */

/**
 * @typedef {"target" | "spot"} Role
 * @typedef {{kind?: string?, is?: string?, name?: string?, condition?: string?, inspection_due?: string?, plan?: any}} Item
 * @typedef {Record<string, Item>} Kit items by their code
 * @typedef {{target?: string?, spot?: string?, target_name?: string?, spot_name?: string?}} Pair
 */

/** @type {Role[]} */
export const ROLES = ["target", "spot"];

/**
 * The item with this code, or one of which nothing is known.
 * @param {string} code @param {Kit} kit
 * @returns {Item}
 */
function itemOf(code, kit) {
  return Object.hasOwn(kit, code) ? kit[code] : {};
}

/**
 * Whether the item with this code is what the name asks for.
 * @param {string | null | undefined} name @param {string | null | undefined} code @param {Kit} kit
 */
export function standsFor(name, code, kit) {
  if (name == null || code == null) return false;
  return name === code || name === itemOf(code, kit).is;
}

/**
 * The codes of all items that a name stands for, sorted: a JSON object has no order to go by.
 * @param {string | null | undefined} name @param {Kit} kit
 */
export function codesFor(name, kit) {
  return Object.keys(kit)
    .sort()
    .filter((code) => standsFor(name, code, kit));
}

/**
 * The expected pairs that no placed pair fulfils yet, in their order. Empty: the step is complete.
 * @param {Pair[]} expected @param {Pair[]} placed @param {Kit} kit
 */
export function openPairs(expected, placed, kit) {
  const left = [...expected];
  for (const done of placed) {
    const fulfilled = left.findIndex((pair) => fulfils(pair, done, kit));
    if (fulfilled >= 0) left.splice(fulfilled, 1);
  }
  return left;
}

/** @param {Pair} pair @param {Pair} done @param {Kit} kit */
function fulfils(pair, done, kit) {
  return ROLES.every((role) => pair[role] == null || standsFor(pair[role], done[role], kit));
}

/**
 * Why an item may not be used. Its inspection is good up to and on the day it is due.
 * @param {string} code @param {Kit} kit @param {string?} today
 * @returns {"damaged" | "overdue" | null}
 */
export function trouble(code, kit, today) {
  if (kit[code].condition === "damaged") return "damaged";
  const due = kit[code].inspection_due;
  return due && today && due < today ? "overdue" : null;
}

/**
 * The first code of another item of the same kind that is free and fit for use, if there is one.
 * @param {string} code @param {Kit} kit @param {Pair[]} placed @param {string?} today
 */
export function standIn(code, kit, placed, today) {
  const kind = kit[code].is;
  const taken = new Set(placed.flatMap((pair) => ROLES.map((role) => pair[role])));
  const alike = Object.keys(kit).filter((other) => kind && kit[other].is === kind && !taken.has(other));
  return alike.sort().find((other) => !trouble(other, kit, today)) ?? null;
}

/**
 * The name that people use, or the code where the item has none.
 * @param {string} code @param {Kit} kit
 */
export function nameOf(code, kit) {
  return itemOf(code, kit).name || code;
}

/**
 * The code of the one item that a pair asks for, or the name itself where several would do.
 * @param {Pair} pair @param {Role} role @param {Kit} kit
 */
export function codeIn(pair, role, kit) {
  const codes = codesFor(pair[role], kit);
  return codes.length === 1 ? codes[0] : /** @type {string} */ (pair[role]);
}

/**
 * The name that people use for one half of a pair.
 * @param {Pair} pair @param {Role} role @param {Kit} kit
 */
export function nameIn(pair, role, kit) {
  return pair[`${role}_name`] || nameOf(codeIn(pair, role, kit), kit);
}

/**
 * Code and name of every bay, by name.
 * @param {Kit} kit
 * @returns {[string, string][]}
 */
export function bays(kit) {
  const found = Object.entries(kit).filter(([, item]) => item.kind === "bay");
  const named = found.map(([code, { name }]) => /** @type {[string, string]} */ ([code, name ?? ""]));
  return named.sort(([a, one], [b, other]) => (one === other ? order(a, b) : order(one, other)));
}

/** @param {string} one @param {string} other */
function order(one, other) {
  return one < other ? -1 : 1;
}
