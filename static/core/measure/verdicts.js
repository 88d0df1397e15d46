/** What a set of readings can come to, and what each verdict does to the step. */

export const SETTLES_STEP = ["inside", "recorded"];
/** `read-again`: kept for the mean, since another reading of the same thing is wanted before a verdict. */
export const ASKS_REPEAT = ["too-close-to-call", "does-not-fit", "read-again"];
export const WORST_FIRST = ["does-not-fit", "outside", "too-close-to-call", "inside", "recorded", "read-again"];

/** The rule that decides, as every decision keeps it. */
export const RULE = { name: "guard band w = U", edition: "JCGM 106:2012, ISO 14253-1:2017", coverage: 2 };
