"""The plan: which calibrations are due and why, in which order, with which kit, on how much floor, and how long."""

from collections.abc import Mapping, Sequence
from typing import Any

from ..intake import Facts
from ..kit import Kit, codes_for, trouble
from ..lengths import roomy, roomy_unit
from ..numbers import rounded
from ..plan import Need, Proposal, area_needed, expected_s, kit_needed, planned, propose, usual_answers, working_order
from ..procedure import Library, Procedure, Vehicle
from ..sheet import Say
from ..vin import groups
from .area import fit_view

View = dict[str, Any]
Times = Mapping[str, Sequence[float]]
"""By procedure the shop's own median and 80th percentile in s, and of how many jobs; fewer than five have none."""


def plan_view(
    library: Library,
    facts: Facts,
    times: Times,
    kit: Kit,
    today: str,
    say: Say,
    error: str | None = None,
    typed: Mapping[str, str] | None = None,
    fit: dict[str, Any] | None = None,
    anew: str | None = None,
) -> View:
    """`typed` is the form that was refused with `error`; `fit` is as `fit_view` takes it; `anew` is when the procedures
    changed, where the job was begun before that.
    """
    vehicle, given = library.vehicles[facts["vehicle"]], typed or {}
    plan = planned(library, facts)
    names, gone = [one.procedure for one in plan], facts["plan"]["struck"]
    struck = [one for one in propose(library, vehicle, facts["reasons"]) if one.procedure in gone]
    others = [name for name in library.procedures if name in vehicle.specs and name not in [*names, *gone]]
    return {
        "plan": {
            "url": f"/jobs/{facts['id']}",
            "order": facts["repair_order"],
            "vehicle": f"{vehicle.maker} {vehicle.model}",
            "vin": " ".join(groups(facts["vin"])),
            "error": error,
            "anew": say("plan-anew", at=anew) if anew else None,
            "none": not plan,
            "calibrations": [_calibration(library, vehicle, one, given, say) for one in plan],
            "struck": [_struck(library, one.procedure, gone[one.procedure], say) for one in struck],
            "add": _addable(library, others, given) if others else None,
            "work": _work(library, vehicle, facts, names, times, kit, today, say)
            | {"fit": fit_view(fit, say, library.unit)}
            if plan
            else None,
        }
    }


def _calibration(library: Library, vehicle: Vehicle, one: Proposal, given: Mapping[str, str], say: Say) -> View:
    spec = vehicle.specs[one.procedure]
    striking = given.get("do") == "strike" and given.get("calibration") == one.procedure
    called_for = ", ".join(say(f"reason-{reason}") for reason in one.because)
    return {
        "name": one.procedure,
        "title": library.procedures[one.procedure].title,
        "why": say("plan-added", why=one.added) if one.added else say("plan-because", reasons=called_for),
        "source": say("plan-source", source=spec.source, revision=spec.revision),
        "striking": striking,
        "reason": given.get("reason", "") if striking else "",
    }


def _struck(library: Library, name: str, why: str, say: Say) -> View:
    return {"name": name, "title": library.procedures[name].title, "why": say("plan-struck", why=why)}


def _addable(library: Library, names: Sequence[str], given: Mapping[str, str]) -> View:
    adding = given.get("do") == "add"
    options = [
        {
            "name": name,
            "title": library.procedures[name].title,
            "chosen": adding and given.get("calibration") == name,
        }
        for name in names
    ]
    return {"adding": adding, "options": options, "reason": given.get("reason", "") if adding else ""}


def _work(
    library: Library,
    vehicle: Vehicle,
    facts: Facts,
    names: Sequence[str],
    times: Times,
    kit: Kit,
    today: str,
    say: Say,
) -> View:
    known = usual_answers(library.procedures.values()) | facts["qualifiers"]
    order = working_order(library, names)
    parts = [(one, _expected(one, known, [each.procedure for each in order], times)) for one in order]
    return {
        "kit": [_kit_line(library, need, kit, today, say) for need in kit_needed(vehicle, names)],
        "area": _area(library, vehicle, names, say),
        "parts": [_part(one, expected, say) for one, expected in parts],
        "total": _minutes(sum(median_s for _one, (median_s, _p80_s, _jobs) in parts), say),
    }


def _expected(
    procedure: Procedure, known: dict[str, str], order: Sequence[str], times: Times
) -> tuple[float, float | None, int]:
    """From the shop's own finished jobs where there are enough, else from the procedure."""
    if own := times.get(procedure.procedure):
        return own[0], own[1], int(own[2])
    return expected_s(procedure, known, order), None, 0


def _part(procedure: Procedure, expected: tuple[float, float | None, int], say: Say) -> View:
    median_s, p80_s, jobs = expected
    return {
        "title": procedure.title,
        "from": say("plan-from-jobs", count=jobs) if jobs else say("plan-from-procedure"),
        "median": _minutes(median_s, say),
        "p80": "–" if p80_s is None else _minutes(p80_s, say),
    }


def _minutes(seconds: float, say: Say) -> str:
    return say("minutes", count=int(rounded(seconds / 60, 0)))


def _kit_line(library: Library, need: Need, kit: Kit, today: str, say: Say) -> View:
    pieces = [_piece(code, trouble(code, kit, today), say) for code in codes_for(need.target, kit)]
    names = library.catalogue.targets[need.target].name, library.catalogue.spots[need.spot].name
    return {"target": names[0], "spot": names[1], "pieces": pieces, "none": not pieces}


def _piece(code: str, wrong: str | None, say: Say) -> View:
    look, shape = ("outside", "⊗") if wrong else ("inside", "●")
    condition = say(f"plan-kit-{wrong or 'good'}")
    return {"code": code, "class": look, "words": f"{shape} {code} {condition}"}


def _area(library: Library, vehicle: Vehicle, names: Sequence[str], say: Say) -> str | None:
    area, outline = area_needed(library, names), vehicle.outline
    if area is None:
        return None
    lengths_mm = {
        "length": area["ahead_mm"] + area["behind_mm"] + outline.length.value,
        "width": 2 * area["each_side_mm"] + outline.width.value,
        "ahead": area["ahead_mm"],
        "behind": area["behind_mm"],
        "side": area["each_side_mm"],
    }
    lengths = {name: roomy(value, library.unit) for name, value in lengths_mm.items()}
    return say("plan-area-text", **lengths, unit=roomy_unit(library.unit))
