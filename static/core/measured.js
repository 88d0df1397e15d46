/** All that only a measure step needs: a part of its own on a phone, since no job begins with one (see late.js). */

export { equipped, kindsOf, taken } from "./measure/equip.js";
export { grounded, surveysContacts } from "./measure/ground.js";
export { fields, judge, REPEATABLE, readAll } from "./measure/judged.js";
export { spaced, spacings } from "./measure/spaced.js";
export { measureView } from "./view/measures.js";
