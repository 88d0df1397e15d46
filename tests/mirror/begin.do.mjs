// What the phone makes of a job before it is started: intake, plan, and the pages around them.
import * as intake from "../../static/core/intake.js";
import { readBadge } from "../../static/core/labels.js";
import { changed } from "../../static/core/plan.js";
import { libraryOf } from "../../static/core/shelf.js";
import { intakeView, newView } from "../../static/core/view/intake.js";
import { lockView } from "../../static/core/view/lock.js";
import { planView } from "../../static/core/view/plan.js";
import {
  againView,
  badgeView,
  dropView,
  pinView,
  refusedView,
  shopPage,
} from "../../static/core/view/shop.js";
import * as today from "../../static/core/view/today.js";
import { readVin } from "../../static/core/vin.js";
import { render, say } from "./words.mjs";

let library;

export function stock(shelf) {
  library = libraryOf(shelf);
  return library.vehicles.size;
}

export const began = ({ job, vin, kit, bay }) => ({
  facts: intake.newFacts(library, job, vin),
  day: intake.sheetJob(intake.dayFacts(job)),
  job: intake.sheetJob({ ...intake.newFacts(library, job, vin), bay }, kit),
});
export const took = ({ facts, form, kit }) => intake.take(library, facts, form, kit);
export const changedPlan = ({ vehicle, plan, form }) => changed(library.vehicles.get(vehicle), plan, form);
export const badge = ({ text }) => readBadge(text);

function html(path, title, person, content) {
  return render("shop", shopPage(path, title, person, content, say));
}

export const newPage = ({ person, error, text, vin }) =>
  html("/jobs/new", "T", person, newView(say, error, text, vin ? readVin(vin) : null));
export const intakePage = ({ facts, form, kit, others, cleaned, error }) => {
  const values = form ? intake.typed(form) : intake.known(facts);
  return html("/jobs/x", "T", null, intakeView(library, facts, values, kit, say, others, cleaned, error));
};
export const planPage = ({ facts, times, kit, today: day, error, typed }) =>
  html("/jobs/x", "T", "N", planView(library, facts, times, kit, day, say, error, typed ?? {}));
export const smallPages = ({ facts, person, role, error, text }) => [
  html("/badge", "B", person, badgeView(person, role, say, error?.message, text)),
  html("/badge", "B", null, pinView(person, text, say, error?.message, "/kit?a=1&b")),
  html("/badge", "B", null, pinView(person, "", say)),
  html("/kit", "K", person, lockView(`<${person}>`, 900, say)),
  html("/kit", "K", null, lockView(null, 900, say)),
  html("/x", "D", person, dropView(facts, say, error, text)),
  html("/x", "R", person, refusedView("<h>", text)),
  html("/x", "A", person, againView("/x?a=<1>", [["pin", "1"], ["note", text], ["note", " "], ["pin", "2"]], ["photo"], say)),
];
export const todayPage = ({ check, open, away, planned, ended, now, truth, waiting, release }) => {
  const opened = [
    ...open.map(({ sheet, state }) => today.toLookAt(today.openRow(sheet, state, now, say, truth), say)),
    ...away.map((one) => today.awayRow(library, one, say)),
  ];
  const plans = planned.map((one) => today.plannedRow(library, one, say));
  const ends = ended.map((one) => today.endedRow(library, one, "2026-03-02", `/jobs/${one.id}`, say));
  return html("/", "Today", null, today.todayView(check, opened, plans, ends, say, waiting, release));
};
