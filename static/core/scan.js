/** What a scan means: the verdict on one label, given what is to be placed, what is placed, and the shop's kit. */

import { BadInput } from "./errors.js";
import { codeIn, codesFor, nameIn, nameOf, openPairs, ROLES, standIn, standsFor, trouble } from "./kit.js";
import { readLabel } from "./labels.js";

/**
 * @typedef {import("./kit.js").Kit} Kit
 * @typedef {import("./kit.js").Pair} Pair
 * @typedef {import("./kit.js").Role} Role
 * @typedef {import("./labels.js").Label} Label
 * @typedef {"match" | "wrong-target" | "right-target-wrong-spot" | "already-placed" | "not-part-of-this-job" |
 *   "out-of-service" | "label-of-another-kind" | "not-one-of-our-labels" | "unreadable"} Verdict
 * @typedef {Record<string, any>} Advice a code under `do`, and the message's arguments beside it
 * @typedef {{verdict: Verdict, target: string?, spot: string?, next: Advice, holding: string?,
 *   placed: {target: string?, spot: string?} | null}} ScanResult
 *   target, spot: codes, or the expected name where several items would do; where the target belongs
 *   (right-target-wrong-spot) or is (already-placed). holding: the code that waits for its other half after this scan.
 *   placed: the pair this scan completed
 */

/** @type {Map<string, Role>} */
const ROLE_OF_KIND = new Map([
  ["target", "target"],
  ["test-label", "target"],
  ["spot", "spot"],
  ["bay", "spot"],
]);
/** @type {Record<Role, Role>} */
const OTHER = { target: "spot", spot: "target" };
const UNREADABLE = ["label-empty", "label-garbled", "label-check-character"];

/**
 * What scanning this text means; never throws for what was scanned.
 *
 * expected: this step's pairs. placed: the pairs completed so far, as codes. holding: code of the half scanned just
 * before. today: YYYY-MM-DD, for inspections that are overdue (null: not judged). job: every target and spot name of
 * the job, to tell a target of another step from a stranger (null: the step is all of the job).
 * @param {Pair[]} expected @param {Pair[]} placed @param {Kit} kit @param {unknown} text @param {string?} holding
 * @param {string?} today @param {string[]?} job
 * @returns {ScanResult}
 */
export function scanVerdict(expected, placed, kit, text, holding = null, today = null, job = null) {
  const scan = new Scan(expected, placed, kit, holding, today, job);
  /** @type {Label} */
  let label;
  try {
    label = readLabel(text);
  } catch (error) {
    if (!(error instanceof BadInput)) throw error;
    if (UNREADABLE.includes(error.code)) return scan.says("unreadable", {}, { do: "scan-again" });
    return scan.says("not-one-of-our-labels", {}, { do: "not-ours" });
  }
  const { code, kind } = label;
  if (!Object.hasOwn(kit, code)) return scan.says("not-one-of-our-labels", {}, { do: "not-in-kit", scanned: code });
  const role = scan.roleOf(label);
  if (role === null) return scan.says("label-of-another-kind", {}, { do: "other-kind", kind });
  return role === "target" ? scan.ofTarget(code) : scan.ofSpot(code);
}

/** One scan and all that its verdict depends on. */
class Scan {
  /**
   * @param {Pair[]} expected @param {Pair[]} placed @param {Kit} kit @param {string?} holding
   * @param {string?} today @param {string[]?} job
   */
  constructor(expected, placed, kit, holding, today, job) {
    this.expected = expected;
    this.placed = placed;
    this.kit = kit;
    this.today = today;
    this.job = job;
    this.open = openPairs(expected, placed, kit);
    this.heldRole = holding ? (ROLES.find((role) => this.halves(role, holding).length) ?? null) : null;
    this.held = this.heldRole ? holding : null;
  }

  /**
   * Whether the label counts as a target or a spot here; null where its kind is not asked for.
   * @param {Label} label
   * @returns {Role?}
   */
  roleOf(label) {
    const { kind = label.kind } = this.kit[label.code];
    if (kind !== label.kind) return null;
    const named = ROLES.find((role) => this.asking(role, label.code, this.expected).length);
    return named ?? (this.kindsAsked().has(kind) ? (ROLE_OF_KIND.get(kind) ?? null) : null);
  }

  /**
   * @param {string} code
   * @returns {ScanResult}
   */
  ofTarget(code) {
    const place = this.placed.find((pair) => pair.target === code);
    if (place) return this.already(code, place.spot ?? null, code);
    if (!this.asking("target", code, this.expected).length) return this.unwanted(code);
    const why = trouble(code, this.kit, this.today);
    if (why) return this.outOfService(code, why, { target: code });
    const choices = this.asking("target", code, this.open);
    if (!choices.length) {
      return this.says("wrong-target", { target: code }, { do: "take-target", scanned: this.name(code) });
    }
    if (choices.some((pair) => pair.spot == null)) return this.complete(code, null);
    if (this.held && this.heldRole === "spot") return this.pair(code, this.held);
    const next = { do: "scan-spot", target: this.name(code), spot: nameIn(choices[0], "spot", this.kit) };
    const spot = codeIn(choices[0], "spot", this.kit);
    return { verdict: "match", target: code, spot, next, holding: code, placed: null };
  }

  /**
   * @param {string} code
   * @returns {ScanResult}
   */
  ofSpot(code) {
    const targetHeld = this.heldRole === "target" ? this.held : null;
    if (!targetHeld && !this.asking("spot", code, this.expected).length) {
      return this.says("not-part-of-this-job", { spot: code }, { do: "leave-spot", scanned: this.name(code) });
    }
    const why = trouble(code, this.kit, this.today);
    if (why) return this.outOfService(code, why, { spot: code });
    const choices = this.asking("spot", code, this.open);
    if (choices.some((pair) => pair.target == null)) return this.complete(null, code);
    if (targetHeld) return this.pair(targetHeld, code);
    const there = this.placed.find((pair) => pair.spot === code);
    if (!choices.length) return this.already(there?.target ?? null, code, code);
    const next = { do: "scan-target", target: nameIn(choices[0], "target", this.kit), spot: this.name(code) };
    const target = codeIn(choices[0], "target", this.kit);
    return { verdict: "match", target, spot: code, next, holding: code, placed: null };
  }

  /**
   * A verdict that changes nothing: what was held is still held, and what is wanted still is.
   * @param {Verdict} verdict @param {{target?: string?, spot?: string?}} codes @param {Advice} advice
   * @returns {ScanResult}
   */
  says(verdict, { target = null, spot = null }, advice) {
    return { verdict, target, spot, next: { ...advice, wanted: this.wanted() }, holding: this.held, placed: null };
  }

  /**
   * Judge a target and a spot that were scanned one after the other.
   * @param {string} target @param {string} spot
   * @returns {ScanResult}
   */
  pair(target, spot) {
    const homes = this.halves("target", target);
    if (homes.some((pair) => standsFor(pair.spot, spot, this.kit))) return this.complete(target, spot);
    const words = { target: this.name(target), here: this.name(spot), spot: nameIn(homes[0], "spot", this.kit) };
    const rightful = this.halves("spot", spot);
    const next = rightful.length
      ? { do: "swap-targets", ...words, other: nameIn(rightful[0], "target", this.kit) }
      : { do: "move-target", ...words };
    const belongs = codeIn(homes[0], "spot", this.kit);
    return { verdict: "right-target-wrong-spot", target, spot: belongs, next, holding: target, placed: null };
  }

  /**
   * @param {string?} target @param {string?} spot
   * @returns {ScanResult}
   */
  complete(target, spot) {
    const placed = { target, spot };
    const after = new Scan(this.expected, [...this.placed, placed], this.kit, null, this.today, this.job);
    const left = after.open.length;
    const next = left ? { do: "next-pair", left, wanted: after.wanted() } : { do: "all-placed" };
    return { verdict: "match", target, spot, next, holding: null, placed };
  }

  /**
   * @param {string?} target @param {string?} spot @param {string} scanned
   * @returns {ScanResult}
   */
  already(target, spot, scanned) {
    const where = target && spot ? this.name(spot) : null;
    const what = this.name(target || scanned);
    return this.says("already-placed", { target, spot }, { do: "already-placed", scanned: what, where });
  }

  /**
   * @param {string} code
   * @returns {ScanResult}
   */
  unwanted(code) {
    const scanned = this.name(code);
    const knownToJob = (this.job ?? []).some((name) => standsFor(name, code, this.kit));
    if (knownToJob || (this.job === null && this.heldRole === "spot")) {
      return this.says("wrong-target", { target: code }, { do: "take-target", scanned });
    }
    return this.says("not-part-of-this-job", { target: code }, { do: "put-back", scanned });
  }

  /**
   * @param {string} code @param {string} why @param {{target?: string, spot?: string}} codes
   * @returns {ScanResult}
   */
  outOfService(code, why, codes) {
    const other = standIn(code, this.kit, this.placed, this.today);
    const instead = other ? this.name(other) : null;
    return this.says("out-of-service", codes, { do: "replace", scanned: this.name(code), why, instead });
  }

  /**
   * @param {Role} role @param {string} code @param {Pair[]} pairs
   * @returns {Pair[]}
   */
  asking(role, code, pairs) {
    return pairs.filter((pair) => standsFor(pair[role], code, this.kit));
  }

  /**
   * The open pairs that ask for this code in this role and for something else in the other.
   * @param {Role} role @param {string} code
   */
  halves(role, code) {
    return this.asking(role, code, this.open).filter((pair) => pair[OTHER[role]] != null);
  }

  /** @returns {Set<string?>} */
  kindsAsked() {
    /** @type {Set<string?>} */
    const kinds = new Set();
    for (const pair of this.expected) {
      for (const role of ROLES) {
        if (pair[role] == null) continue;
        const codes = codesFor(pair[role], this.kit);
        if (!codes.length) kinds.add(role);
        for (const code of codes) kinds.add(this.kit[code].kind === undefined ? role : this.kit[code].kind);
      }
    }
    return kinds;
  }

  /**
   * The name of the label to scan now; null when nothing is left.
   * @returns {string?}
   */
  wanted() {
    if (this.held && this.heldRole) {
      return nameIn(this.halves(this.heldRole, this.held)[0], OTHER[this.heldRole], this.kit);
    }
    if (!this.open.length) return null;
    return nameIn(this.open[0], this.open[0].target == null ? "spot" : "target", this.kit);
  }

  /** @param {string} code */
  name(code) {
    return nameOf(code, this.kit);
  }
}
