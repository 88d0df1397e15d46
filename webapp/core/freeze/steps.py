"""The steps of a sheet: each as its procedure has it, resolved for this vehicle, this plan and these qualifiers."""

from collections.abc import Callable
from typing import Any

from ..drawing.layers import Layers
from ..figures import Figures, figures_of
from ..plan import belongs, holds
from ..procedure import Cause, Library, Measure, Pair, Procedure, Step, Vehicle
from .drawings import area_key, figure_key, floor_key, for_job, in_unit
from .head import pair_of, vehicle_of
from .measures import measure_of, spots_of


class Body:
    """What every step of one sheet is resolved against."""

    def __init__(
        self,
        library: Library,
        vehicle: Vehicle | None,
        qualifiers: dict[str, str],
        order: list[str],
        places: dict[str, Any],
        area: dict[str, float] | None,
        draw: Callable[[str], Layers],
    ) -> None:
        self.library, self.vehicle, self.qualifiers, self.order = library, vehicle, qualifiers, order
        self.places, self.area, self.draw = places, area, draw

    def steps(self, procedure: Procedure) -> list[dict[str, Any]]:
        figures = figures_of(self.vehicle, procedure.procedure, self.qualifiers)
        return [self.step(procedure, step, figures) for step in procedure.steps if self.stands(step)]

    def stands(self, step: Step) -> bool:
        """Whether the step is part of this job; where nothing was placed, nothing is scanned back home."""
        empty = step.pairs == "homes" and not any(self.places.values())
        return holds(step.only_if, self.qualifiers) and belongs(step, self.order) and not empty

    def step(self, procedure: Procedure, step: Step, figures: Figures) -> dict[str, Any]:
        cautions = self.library.catalogue.cautions
        held: dict[str, Any] = {
            "id": f"{procedure.procedure}/{step.id}",
            "section": procedure.procedure,
            "kind": step.kind,
            "do": step.do,
            "short": step.short,
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
        if step.drawing == "area":
            held["shows"] = "area"
        held["drawing"] = self.drawing(procedure, step, held)
        return held

    def cause(self, procedure: Procedure, one: Cause) -> dict[str, Any]:
        redo = one.redo if one.redo is None or "/" in one.redo else f"{procedure.procedure}/{one.redo}"
        back_to = self.sentence(redo) if redo else None
        return {
            "cause": one.cause,
            "likely": one.likely,
            "check": one.check,
            "takes_s": one.takes.value if one.takes else None,
            "redo": redo if back_to else None,
            "back_to": back_to,
        }

    def sentence(self, name: str) -> str | None:
        """What the step of that name does; None where it is not part of this job."""
        section, _, wanted = name.partition("/")
        steps = self.library.procedures[section].steps if section in self.order else []
        return next((step.do for step in steps if step.id == wanted and self.stands(step)), None)

    def details(self, procedure: Procedure, step: Step, figures: Figures) -> dict[str, Any]:
        if step.kind == "choose":
            return {"asks": step.asks or step.id, "options": [option.model_dump() for option in step.options]}
        if step.kind == "scan":
            return {"pairs": self.pairs(procedure, step)}
        if step.kind == "measure" and step.measure:
            return {"measure": self.measure(procedure, step.measure, figures)}
        if step.kind == "photo":
            return {"photo": step.photo}
        if step.kind == "wait" and step.wait:
            return {"wait_s": step.wait.value}
        return {}

    def pairs(self, procedure: Procedure, step: Step) -> list[dict[str, Any]]:
        targets = self.library.catalogue.targets
        if step.pairs == "spec":
            pairs = [Pair(target=one["target"], spot=one["spot"]) for one in self.about(procedure, step)]
        elif step.pairs == "homes":
            placed = dict.fromkeys(one["target"] for group in self.places.values() for one in group)
            pairs = [Pair(target=target, spot=targets[target].home) for target in placed]
        else:
            pairs = list(step.pairs)
        return [pair_of(self.library, pair) for pair in pairs]

    def about(self, procedure: Procedure, step: Step) -> list[dict[str, Any]]:
        """The placements that the step is about."""
        places = self.places.get(procedure.procedure, [])
        return [one for one in places if not step.spots or one["spot"] in step.spots]

    def measure(self, procedure: Procedure, measure: Measure, figures: Figures) -> dict[str, Any]:
        spots = spots_of(self.places.values())
        outline = vehicle_of(self.vehicle)["outline"] if self.vehicle else None
        made = measure_of(measure, figures, spots, self.places.get(procedure.procedure, []), outline)
        return made | in_unit(self.library.unit)

    def drawing(self, procedure: Procedure, step: Step, held: dict[str, Any]) -> dict[str, str] | None:
        if step.drawing is None or self.vehicle is None or (step.drawing == "area" and self.area is None):
            return None
        outline = vehicle_of(self.vehicle)["outline"]
        if step.drawing == "area":
            key = area_key(outline, self.area, self.library.unit)
        elif step.drawing == "floor":
            key = floor_key(self.library, self.vehicle, outline, procedure)
        else:
            measure = {"stands": True} if step.kind == "scan" else held.get("measure", {})
            key = figure_key(step.drawing, outline, self.about(procedure, step), measure, self.library.unit)
        return for_job(self.draw(key), self.places)
