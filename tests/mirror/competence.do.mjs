// Whether the phone holds the first step of a sheet when somebody has done it.
import { act } from "../../static/core/act.js";
import { fold } from "../../static/core/fold.js";

const CLOCK = { at: "2026-03-02T08:00:00.000Z", mono_s: 1, boot: "b" };

export const heldAtFirst = ({ sheet, person }) => {
  const form = { do: "confirm", step: sheet.steps[0].id, attempt: "1", turn: "0" };
  const moment = { clock: CLOCK, today: "2026-03-02", kit: {}, person, witness: null, job: [] };
  return act(sheet, fold(sheet, []), form, moment).data.held;
};
