"""A spec says twice where a stand belongs, by its targets' places and by the pose that it is squared to: they agree.

The drawing shows the one and the tapes are judged by the other, so a figure changed in one place alone sends the
technician to the other.
"""

from collections.abc import Iterator, Mapping
from statistics import fmean

from webapp.core.quantity import Quantity
from webapp.library.finding import Finding
from webapp.library.read import Node
from webapp.library.sources import Sources

from .measured import RANGES, figure_taken, quantity

AXIS = {"distance": "mm", "offset": "mm", "yaw": "deg"}
Figures = Mapping[str, Node]


def check(sources: Sources) -> Iterator[Finding]:
    for vehicle in sources.vehicles.values():
        for name, spec in vehicle.at("specs").fields.items():
            if name in sources.procedures:
                figures = {**vehicle.at("figures").fields, **spec.at("figures").fields}
                for step in sources.procedures[name].at("steps").items:
                    if step.at("measure", "method").text == "square":
                        yield from _differs(step, vehicle, spec, figures)


def _differs(step: Node, vehicle: Node, spec: Node, figures: Figures) -> Iterator[Finding]:
    placed = _stand(step, vehicle, spec)
    for name, node in step.at("measure", "limits").fields.items():
        taken = figure_taken(node, name)
        figure = figures.get(taken or "", node)
        held, place = _held(figure, AXIS.get(name, "")), placed.get(name)
        if held is None or place is None:
            continue
        aim, width = held
        # What cannot be at all is said by other checks.
        if RANGES[name].low <= aim <= RANGES[name].high and abs(aim - place) > width > 0:
            unit, said = AXIS[name], taken or name
            yield figure.says(
                f"{said} {aim:g} {unit} and placements at {place:g} {unit}, expected the same within {width:g} {unit}"
            )


def _stand(step: Node, vehicle: Node, spec: Node) -> dict[str, float]:
    """The pose that the placements give: the middle of those that this step is about."""
    behind = step.at("measure", "hubs").text == "rear"
    wheelbase = quantity(vehicle.at("outline", "wheelbase"))
    named = [one.text for one in step.at("spots").items]
    rows = [
        {key: quantity(one.at(key)) for key in ("x", "y", "yaw")}
        for one in spec.at("placements").items
        if not named or one.at("spot").text in named
    ]
    if wheelbase is None or any(row["x"] is None or row["y"] is None for row in rows):
        return {}
    axle = -wheelbase.value if behind else 0.0
    away = [(axle - x if behind else x - axle, row) for row in rows if (x := _value(row["x"])) is not None]
    out = [(far, row) for far, row in away if far > 0]  # patterns lie all round the vehicle; a stand on one side
    if not out:
        return {}
    made = {"distance": fmean(far for far, _ in out), "offset": fmean(_value(row["y"]) or 0.0 for _, row in out)}
    yaws = [_value(row["yaw"]) for _, row in out]
    turned = [yaw for yaw in yaws if yaw is not None]
    return made | ({"yaw": fmean(turned)} if len(turned) == len(yaws) else {})


def _held(figure: Node, unit: str) -> tuple[float, float] | None:
    """What a figure in that unit aims for, and how far from it is still good."""
    given = [quantity(figure.at(key)) for key in ("nominal", "tolerance", "low", "high")]
    if any(one is not None and one.unit != unit for one in given):
        return None
    nominal, tolerance, low, high = map(_value, given)
    if nominal is not None and tolerance is not None:
        return nominal, tolerance
    return None if low is None or high is None else ((low + high) / 2, (high - low) / 2)


def _value(given: Quantity | None) -> float | None:
    return None if given is None else given.value
