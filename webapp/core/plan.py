"""Which calibrations a repair calls for, in which order, and what they need."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from .errors import BadInput, shown
from .kinds.common import words
from .procedure import Library, Procedure, Step, Vehicle
from .vin import matches
from .written import Condition

# Where nothing else decides: set-up first, closing last; stored values are reset before anything is aimed by them, a
# check that needs somebody inside waits until nothing is aimed any more, and static comes before dynamic (a camera must
# be aimed before the road teaches it).
SORTS = ("day", "set-up", "calibration", "closing")
MODES = ("reset", "static", "check", "dynamic")


@dataclass(frozen=True)
class Proposal:
    """A calibration that is due, the repair reasons that call for it, or why a person added it."""

    procedure: str
    because: tuple[str, ...]
    added: str | None = None


@dataclass(frozen=True)
class Need:
    """A kind of target that the job needs, where it goes and which calibrations ask for it."""

    target: str
    spot: str
    calibration: str


def vehicles_for(library: Library, vin: str) -> list[Vehicle]:
    """The models whose VIN pattern the VIN matches, in the library's order."""
    return [vehicle for vehicle in library.vehicles.values() if any(matches(pattern, vin) for pattern in vehicle.vin)]


def propose(library: Library, vehicle: Vehicle, reasons: Iterable[str]) -> list[Proposal]:
    """The calibrations that these reasons call for and that the vehicle has a spec for."""
    given = set(reasons)
    due = []
    for name, procedure in library.procedures.items():
        because = tuple(reason for reason in procedure.due_when if reason in given)
        if procedure.sort == "calibration" and because and name in vehicle.specs:
            due.append(Proposal(name, because))
    return due


def decided(proposals: Iterable[Proposal], added: Mapping[str, str], struck: Mapping[str, str]) -> list[Proposal]:
    """The plan after a person has added and struck calibrations, each with a reason."""
    kept = [one for one in proposals if one.procedure not in struck]
    have = {one.procedure for one in kept}
    return kept + [Proposal(name, (), why) for name, why in added.items() if name not in have]


def planned(library: Library, facts: Mapping[str, Any]) -> list[Proposal]:
    """The plan of a job as it stands: proposed, less what was struck, plus what was added (see `core.intake`)."""
    vehicle = library.vehicles[facts["vehicle"]]
    due = propose(library, vehicle, facts["reasons"])
    # What was added may be gone since: with a release of head office, or with the shop's own figures.
    known = vehicle.specs.keys() & library.procedures.keys()
    added = {name: why for name, why in facts["plan"]["added"].items() if name in known}
    return decided(due, added, facts["plan"]["struck"])


def changed(vehicle: Vehicle, plan: Mapping[str, Any], form: dict[str, str]) -> dict[str, Any]:
    """The plan after one calibration was added, struck or put back. Adding and striking need a reason.

    Raises:
        BadInput: `calibration-unknown`, `do-unknown`, or as `words` does.
    """
    name, do = form.get("calibration", ""), form.get("do", "")
    added, struck = dict(plan["added"]), dict(plan["struck"])
    if name not in vehicle.specs:
        message = f"calibration={shown(name)} has no spec for this vehicle"
        raise BadInput("calibration-unknown", "calibration", message)
    if do == "strike":
        why = words(form, "reason", "why this calibration is not done")
        if name in added:
            del added[name]
        else:
            struck[name] = why
    elif do == "add":
        added[name] = words(form, "reason", "why this calibration is done as well")
        struck.pop(name, None)
    elif do == "restore":
        struck.pop(name, None)
    else:
        raise BadInput("do-unknown", "do", f"do={shown(do)} is not an action here; expected strike, add or restore")
    return {**plan, "added": added, "struck": struck}


def working_order(library: Library, calibrations: Iterable[str]) -> list[Procedure]:
    """The procedures of a job in working order: shared set-up once, then the calibrations, then closing.

    Each waits for its own set-up and for what its `after` names. So a set-up may come after a calibration (the axis is
    found once nothing rolls the vehicle any more), and a calibration after a closing (the floor is cleared before the
    drive).

    Raises:
        BadInput: `order-cycle` where the procedures' `after` go round in a circle.
    """
    wanted = set(calibrations)
    for name in list(wanted):
        wanted.update(library.procedures[name].set_up)
    wanted.update(name for name, one in library.procedures.items() if one.sort == "closing")
    place = {name: number for number, name in enumerate(library.procedures)}

    def rank(name: str) -> tuple[int, int, int]:
        one = library.procedures[name]
        return SORTS.index(one.sort), MODES.index(one.mode or "static"), place[name]

    def waits(name: str) -> bool:
        one = library.procedures[name]
        return any(before in left for before in (*one.after, *one.set_up))

    order: list[Procedure] = []
    left = sorted(wanted, key=rank)
    while left:
        first = next((name for name in left if not waits(name)), None)
        if first is None:
            circle = f"after={' -> '.join(left)} goes round in a circle; remove one of them"
            raise BadInput("order-cycle", "after", circle)
        left.remove(first)
        order.append(library.procedures[first])
    return order


def holds(condition: Condition, known: Mapping[str, str]) -> bool:
    """Whether every part of the condition that is about a known answer is met."""
    return all(
        known[name] in ([values] if isinstance(values, str) else values)
        for name, values in condition.items()
        if name in known
    )


def belongs(step: Step, order: Collection[str]) -> bool:
    """Whether a step is part of a job with these procedures."""
    return (not step.when or any(name in order for name in step.when)) and not any(
        name in order for name in step.unless
    )


def kit_needed(vehicle: Vehicle, calibrations: Iterable[str]) -> list[Need]:
    """Every target kind that has to be placed, with its spot."""
    return [
        Need(one.target, one.spot, name)
        for name in calibrations
        if name in vehicle.specs
        for one in vehicle.specs[name].placements
    ]


def area_needed(library: Library, calibrations: Iterable[str]) -> dict[str, float] | None:
    """The clear floor that serves all of them, in mm from the vehicle's outline, or None where none asks for any."""
    areas = [library.procedures[name].area for name in calibrations]
    known = [area for area in areas if area is not None]
    if not known:
        return None
    return {
        "ahead_mm": max(area.ahead.value for area in known),
        "behind_mm": max(area.behind.value for area in known),
        "each_side_mm": max(area.each_side.value for area in known),
    }


def usual_answers(procedures: Iterable[Procedure]) -> dict[str, str]:
    """What is usually answered: the first option of each choose step."""
    steps = (step for one in procedures for step in one.steps)
    return {step.asks or step.id: step.options[0].value for step in steps if step.options}


def expected_s(procedure: Procedure, known: Mapping[str, str], order: Collection[str] | None = None) -> float:
    """The procedure's own figure for its duration, in seconds, with the qualifiers and usual answers that are known.

    A step that hangs on anything else is no part of the usual way. `order` has the procedures of the job, where it is
    about one.
    """
    return sum(
        step.expect.value
        for step in procedure.steps
        if holds(step.only_if, known)
        and all(name in known for name in step.only_if)
        and (order is None or belongs(step, order))
    )
