/**
 * What the rules pass to each other; all of it is JSON. Nothing is exported but names for JSDoc.
 *
 * @typedef {Record<string, any>} Sheet made by freeze.js, as the server's webapp/core/sheet.py
 * @typedef {Record<string, any>} Step one of a sheet's steps
 * @typedef {{at: string, mono_s: number, boot: string}} Clock
 * @typedef {{code: string, role: string, name: string, short?: string[], levels?: Record<string, string>}} Person
 *   `short`: see short.js; `levels`: see competence.js
 * @typedef {{clock: Clock, today: string, kit: Record<string, any>, person: Person?, witness: Person?,
 *   job: string[], supervised?: boolean, doer?: string?, back?: string[], unproven?: string[]}} Moment all that a
 *   decision may depend on besides the sheet and the state; `act` fills in job, supervised, doer and back
 * @typedef {Record<string, string>} Given a form's fields
 * @typedef {{kind: string, step: string?, attempt: number, turn: number, data: Record<string, any>}} Draft
 * @typedef {Draft & {id: string, job: string, device: string, seq: number, at: string, mono_s: number, boot: string,
 *   person: string?, round: number, before?: string?}} Event
 * @typedef {ReturnType<typeof import("./state.js").newStep>} StepState
 * @typedef {ReturnType<typeof import("./state.js").newJob>} JobState
 * @typedef {(step: Step, was: StepState, given: Given, moment: Moment) => [string, Record<string, any>]} Records what a
 *   tap records: an event's kind and data
 * @typedef {(step: Step, was: StepState, event: Event) => StepState} Settles what an event of a step then means
 * @typedef {(id: string, args?: Record<string, string | number>) => string} Say
 * @typedef {(step: Step, was: StepState, now: Clock, say: Say, again: boolean) => View} ShowsKind
 * @typedef {Record<string, any>} View what a page's template needs
 */

/**
 * What the shelf brings: the library as webapp/core/procedure.py describes it, quantities as numbers.
 *
 * @typedef {Record<string, any>} Procedure
 * @typedef {Record<string, any>} Vehicle
 * @typedef {{procedure: string, because: string[], added: string?}} Proposal a calibration that is due, the repair
 *   reasons that call for it, or why a person added it
 * @typedef {Record<string, string | string[]>} Condition
 * @typedef {Map<string, Record<string, any>>} Figures
 * @typedef {{catalogue: Record<string, any>, procedures: Map<string, Procedure>, vehicles: Map<string, Vehicle>,
 *   drawings: Record<string, {svg: any[], alt: any[]}>, approvals: Record<string, Record<string, any>>,
 *   unit?: string}} Library
 */
export {};
