/** Who is working on this phone: a badge from the shelf, or nobody. */

import { BaybookError, NotFound, shown } from "../../core/errors.js";
import { readBadge } from "../../core/labels.js";
import { cut } from "../../core/text.js";
import { badgeView } from "../../core/view/shop.js";
import { statusOf } from "../answer.js";
import { setPerson } from "../shelf.js";
import { goOn, page } from "./page.js";

/** @import { Asked } from "./page.js" */

const LONGEST_SHOWN = 200;

/** @param {Asked} asked */
export function showBadge(asked, error = /** @type {string?} */ (null), text = "", status = 200) {
  const { name = null, role = null } = asked.shop.person ?? {};
  return page(asked, "badge-title", badgeView(name, role, asked.words.say, error, text), status);
}

/** @param {Asked} asked */
export async function takeBadge(asked) {
  if (asked.form.has("leave")) {
    await setPerson(null, "");
    return goOn("/badge");
  }
  const text = String(asked.form.get("badge") ?? "");
  try {
    await setPerson(personOf(text, asked.shop.people), text);
    return goOn("/");
  } catch (error) {
    if (!(error instanceof BaybookError)) throw error;
    return showBadge(asked, error.message, cut(text, LONGEST_SHOWN), statusOf(error));
  }
}

/** @param {string} text @param {import("../texts.js").People} people */
function personOf(text, people) {
  const code = readBadge(text);
  if (Object.hasOwn(people, code)) return { code, ...people[code] };
  const message = `badge=${shown(code)} is nobody's badge here; look at the people's page`;
  throw new NotFound("badge-unknown", "badge", message);
}
