"""Freezing a job: plan, procedures, the vehicle's figures and its qualifiers become the sheet."""

import json
from collections.abc import Iterable
from functools import lru_cache
from typing import Any

from .drawing import draw
from .figures import Figures, centre, figures_of, interval, number
from .plan import Proposal, area_needed, holds, working_order
from .procedure import Cause, Library, Limits, Measure, Pair, Placement, Procedure, Reading, Step, Vehicle
from .quantity import Quantity
from .sheet import FORMAT, Say, Sheet


def make_sheet(
    library: Library,
    job: dict[str, Any],
    vehicle: Vehicle | None,
    plan: list[Proposal],
    struck: dict[str, str],
    say: Say,
) -> Sheet:
    """Resolve a job's steps from its plan, the procedures, the vehicle's figures and its qualifiers.

    `job` is the sheet's own `job` object; `struck` maps calibrations that were called for and not planned to the
    reason.

    Raises:
        BadInput: where the order goes round in a circle or a figure is missing.
    """
    names = [one.procedure for one in plan]
    if job["sort"] == "day":
        order = [one for one in library.procedures.values() if one.sort == "day"]
    else:
        order = working_order(library, names)
    places = {name: _placements(library, vehicle.specs[name].placements) for name in names if vehicle}
    body = _Body(
        library, vehicle, job["qualifiers"], [one.procedure for one in order], places, area_needed(library, names), say
    )
    return {
        "format": FORMAT,
        "job": job,
        "vehicle": _vehicle(vehicle) if vehicle else None,
        "calibrations": [
            _calibration(library, vehicle, one)
            for one in sorted(plan, key=lambda one: body.order.index(one.procedure))
            if vehicle
        ],
        "struck": [{"id": name, "title": library.procedures[name].title, "why": why} for name, why in struck.items()],
        "sections": [_section(library, one, names) for one in order],
        "placements": places,
        "area": body.area,
        "steps": [step for one in order for step in body.steps(one)],
    }


def _vehicle(vehicle: Vehicle) -> dict[str, Any]:
    outline = {f"{field}_mm": held.value for field, held in vehicle.outline}
    return {
        "id": vehicle.vehicle,
        "maker": vehicle.maker,
        "model": vehicle.model,
        "revision": vehicle.revision,
        "outline": outline,
    }


def _calibration(library: Library, vehicle: Vehicle, one: Proposal) -> dict[str, Any]:
    procedure, spec = library.procedures[one.procedure], vehicle.specs[one.procedure]
    return {
        "id": one.procedure,
        "title": procedure.title,
        "sensor": procedure.sensor,
        "mode": procedure.mode,
        "because": list(one.because),
        "added": one.added,
        "procedure_revision": procedure.revision,
        "spec_revision": spec.revision,
        "source": spec.source,
        "reference": spec.reference,
    }


def _section(library: Library, one: Procedure, calibrations: list[str]) -> dict[str, Any]:
    if one.sort == "calibration":
        serves = [one.procedure]
    elif one.sort == "set-up":
        serves = [name for name in calibrations if one.procedure in library.procedures[name].set_up]
    else:
        serves = list(calibrations)
    return {"id": one.procedure, "title": one.title, "sort": one.sort, "revision": one.revision, "calibrations": serves}


def _placements(library: Library, placements: Iterable[Placement]) -> list[dict[str, Any]]:
    def value(held: Quantity | None) -> float | None:
        return None if held is None else held.value

    return [
        {
            **_pair(library, Pair(target=one.target, spot=one.spot)),
            "x_mm": one.x.value,
            "y_mm": one.y.value,
            "height_mm": value(one.height),
            "yaw_deg": value(one.yaw),
            "size_mm": [size["width"].value, size["height"].value]
            if len(size := library.catalogue.targets[one.target].size) == 2
            else None,
        }
        for one in placements
    ]


def _pair(library: Library, pair: Pair) -> dict[str, Any]:
    targets, spots = library.catalogue.targets, library.catalogue.spots
    return {
        "target": pair.target,
        "target_name": targets[pair.target].name if pair.target else None,
        "spot": pair.spot,
        "spot_name": spots[pair.spot].name if pair.spot else None,
    }


class _Body:
    """What every step of one sheet is resolved against."""

    def __init__(
        self,
        library: Library,
        vehicle: Vehicle | None,
        qualifiers: dict[str, str],
        order: list[str],
        places: dict[str, Any],
        area: dict[str, float] | None,
        say: Say,
    ) -> None:
        self.library, self.vehicle, self.qualifiers, self.order = library, vehicle, qualifiers, order
        self.places, self.area, self.say = places, area, say

    def steps(self, procedure: Procedure) -> list[dict[str, Any]]:
        figures = figures_of(self.vehicle, procedure.procedure, self.qualifiers)
        return [self.step(procedure, step, figures) for step in procedure.steps if holds(step.only_if, self.qualifiers)]

    def step(self, procedure: Procedure, step: Step, figures: Figures) -> dict[str, Any]:
        cautions = self.library.catalogue.cautions
        held: dict[str, Any] = {
            "id": f"{procedure.procedure}/{step.id}",
            "section": procedure.procedure,
            "kind": step.kind,
            "do": step.do,
            "why": step.why,
            "mistakes": step.mistakes,
            "cautions": [{"id": name, **cautions[name].model_dump()} for name in step.caution],
            "button": step.button,
            # Qualifiers are settled here and now; what is left hangs on answers given on the way.
            "only_if": {
                name: [values] if isinstance(values, str) else list(values)
                for name, values in step.only_if.items()
                if name not in self.qualifiers
            },
            "hold": step.hold,
            "expect_s": step.expect.value,
            "causes": [self.cause(procedure, one) for one in step.causes],
        }
        held |= self.details(procedure, step, figures)
        held["drawing"] = self.drawing(procedure, step, held)
        return held

    def cause(self, procedure: Procedure, one: Cause) -> dict[str, Any]:
        redo = one.redo if one.redo is None or "/" in one.redo else f"{procedure.procedure}/{one.redo}"
        back_to = self.sentence(redo) if redo else None
        return {"cause": one.cause, "check": one.check, "redo": redo if back_to else None, "back_to": back_to}

    def sentence(self, name: str) -> str | None:
        """What the step of that name does; None where it is not part of this job."""
        section, _, wanted = name.partition("/")
        steps = self.library.procedures[section].steps if section in self.order else []
        return next((step.do for step in steps if step.id == wanted and holds(step.only_if, self.qualifiers)), None)

    def details(self, procedure: Procedure, step: Step, figures: Figures) -> dict[str, Any]:
        if step.kind == "choose":
            return {"asks": step.asks or step.id, "options": [option.model_dump() for option in step.options]}
        if step.kind == "scan":
            return {"pairs": self.pairs(procedure, step)}
        if step.kind == "measure" and step.measure:
            return {"measure": self.measure(step.measure, figures)}
        if step.kind == "photo":
            return {"photo": step.photo}
        if step.kind == "wait" and step.wait:
            return {"wait_s": step.wait.value}
        return {}

    def pairs(self, procedure: Procedure, step: Step) -> list[dict[str, Any]]:
        targets = self.library.catalogue.targets
        if step.pairs == "spec":
            pairs = [Pair(target=one["target"], spot=one["spot"]) for one in self.places.get(procedure.procedure, [])]
        elif step.pairs == "homes":
            placed = dict.fromkeys(one["target"] for group in self.places.values() for one in group)
            pairs = [Pair(target=target, spot=targets[target].home) for target in placed]
        else:
            pairs = list(step.pairs)
        return [_pair(self.library, pair) for pair in pairs]

    def measure(self, measure: Measure, figures: Figures) -> dict[str, Any]:
        if measure.method == "values":
            return {
                "method": "values",
                "readings": [_reading(one, figures) for one in measure.readings],
                "compare": _compare(measure, figures),
            }
        units = {
            "along": "mm_per_m",
            "across": "mm_per_m",
            "residual": "mm",
            "distance": "mm",
            "offset": "mm",
            "yaw": "deg",
            "thrust": "deg",
        }
        made: dict[str, Any] = {
            "method": measure.method,
            "u_mm": measure.u.value if measure.u else 1.0,
            "limits": {
                f"{name}_{units[name]}": list(interval(limits, name, figures))
                for name, limits in measure.limits.items()
            },
        }
        if measure.method == "floor":
            made["points"] = [
                {"name": one.name, "label": one.label, "x_mm": one.x.value, "y_mm": one.y.value}
                for one in measure.points
            ]
            made["spots"] = [
                {"x_mm": one["x_mm"], "y_mm": one["y_mm"], "name": one["spot_name"]}
                for group in self.places.values()
                for one in group
            ]
        if measure.method == "square":
            made |= {"track_mm": number(measure.track, "track", figures), "bar_mm": number(measure.bar, "bar", figures)}
            aim: dict[str, Limits | str | None] = {
                name: measure.limits.get(name) for name in ("distance", "offset", "yaw")
            }
            made["target"] = {f"{name}_{units[name]}": centre(limits, name, figures) for name, limits in aim.items()}
        return made

    def drawing(self, procedure: Procedure, step: Step, held: dict[str, Any]) -> dict[str, str] | None:
        if step.drawing is None or self.vehicle is None:
            return None
        outline = _vehicle(self.vehicle)["outline"]
        given = self.area if step.drawing == "area" else held.get("measure") or self.survey(procedure, step)
        places = self.places.get(procedure.procedure, [])
        return _drawn(step.drawing, json.dumps([outline, places, given or {}]), self.say)

    def survey(self, procedure: Procedure, step: Step) -> dict[str, Any]:
        """The points to chalk before a floor survey are those it will read; other drawings need no readings."""
        survey = next((one.measure for one in procedure.steps if one.measure and one.measure.method == "floor"), None)
        if step.drawing != "floor" or survey is None:
            return {}
        return self.measure(survey, figures_of(self.vehicle, procedure.procedure, self.qualifiers))


def _reading(one: Reading, figures: Figures) -> dict[str, Any]:
    low, high = interval(one.limits, one.name, figures)
    return {
        "name": one.name.replace("-", "_"),
        "label": one.label,
        "unit": one.unit,
        "low": low,
        "high": high,
        "instrument": one.instrument,
        "u": one.u.value if one.u else None,
    }


def _compare(measure: Measure, figures: Figures) -> list[dict[str, Any]]:
    unit = {one.name: one.unit for one in measure.readings}
    made = []
    for one in measure.compare:
        low, high = interval(one.limits, one.of[0], figures)
        made.append(
            {
                "label": one.label,
                "of": [name.replace("-", "_") for name in one.of],
                "low": low,
                "high": high,
                "unit": unit[one.of[0]],
            }
        )
    return made


@lru_cache(maxsize=512)
def _drawn(name: str, figures: str, say: Say) -> dict[str, str]:
    """The drawing of these figures (as JSON). Many jobs share one: same model, same calibration, same drawing."""
    outline, places, given = json.loads(figures)
    made = draw(name, outline, places, given, say)
    return {"svg": made.svg, "alt": made.alt}
