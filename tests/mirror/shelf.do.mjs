// What the phone plans and freezes from the shelf alone. The shelf is taken once, and asked about many times.
import { makeSheet } from "../../static/core/freeze/index.js";
import * as plan from "../../static/core/plan.js";
import { canonical, contentHash } from "../../static/core/sheet.js";
import { libraryOf } from "../../static/core/shelf.js";

let library;

export function takeShelf(shelf) {
  library = libraryOf(shelf);
  return library.procedures.size;
}

function frozen({ job, vehicle, plan: planned, struck }) {
  return makeSheet(library, job, vehicle ? library.vehicles.get(vehicle) : null, planned, struck ?? {});
}

export function sheet(given) {
  return frozen(given);
}

export function sheetHash(given) {
  return contentHash(frozen(given), (bytes) => crypto.subtle.digest("SHA-256", bytes));
}

export function spelled(value) {
  return canonical(value);
}

/** All that the plan page asks for these reasons. */
export function planned({ vehicle: name, vin, reasons, added, struck, qualifiers }) {
  const vehicle = library.vehicles.get(name);
  const due = plan.propose(library, vehicle, reasons);
  const decided = plan.decided(due, added, struck);
  const names = decided.map((one) => one.procedure);
  const order = plan.workingOrder(library, names);
  const known = { ...plan.usualAnswers(library.procedures.values()), ...qualifiers };
  return {
    fits: plan.vehiclesFor(library, vin).map((one) => one.vehicle),
    due,
    decided,
    order: order.map((one) => [
      one.procedure,
      plan.expectedS(
        one,
        known,
        order.map((each) => each.procedure),
      ),
    ]),
    kit: plan.kitNeeded(vehicle, names),
    area: plan.areaNeeded(library, names),
  };
}
