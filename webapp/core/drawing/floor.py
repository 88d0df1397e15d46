"""The floor survey: where each point lies round the vehicle, and the places of the targets among them."""

from collections.abc import Mapping, Sequence
from typing import Any

from .dimension import Mark, ladder, rows
from .frame import fit
from .marks import Box, Dot, Label, Layer, Point, Scene, Spot, Stroke
from .placements import axle_end
from .placing import around
from .vehicle import Outline, centreline, front_mm, rear_mm, vehicle
from .words import NEARLY_MM, Say, seen, where, written

EDGE_PX = 18.0
TALLEST_PX = 370.0
CROSS_PX = 4.0


def floor(outline: Outline, given: Mapping[str, Any], say: Say) -> Scene:
    """The points of a measurement by the method `floor`, and a small blue cross where each target goes.

    given: `points`, and `spots`, each `of` the calibration for whose jobs alone it is shown. Running distances from the
    front axle at the left edge, the offsets from the centreline ahead of all.
    """
    points, places = given.get("points", ()), given.get("spots", ())
    all_mm = [(one["x_mm"], one["y_mm"]) for one in (*points, *places)]
    offsets = sorted({abs(one["y_mm"]) for one in points if abs(one["y_mm"]) > NEARLY_MM})
    frame, height = fit(
        max([front_mm(outline) + 200.0, *(x for x, _ in all_mm)]),
        min([rear_mm(outline) - 200.0, *(x for x, _ in all_mm)]),
        max([outline["width_mm"] / 2, *(abs(y) for _, y in all_mm)]),
        (62.0, 38.0 + 18.0 * len(offsets[1:]), 62.0, 28.0 + 18.0 * bool(places)),
        TALLEST_PX,
        most=0.06,
    )
    marks: list[Mark] = [*vehicle(outline, frame), centreline(frame, 4, height - 4 - 18 * bool(places))]
    at = {one["name"]: frame.at(one["x_mm"], one["y_mm"]) for one in points}
    marks += [Dot("solid", point, 4.5) for point in at.values()]
    marks += ladder(EDGE_PX, axle_end(outline, frame, 1), _rungs(points, at), say("drawing-front-axle"))
    foremost = {one["y_mm"]: at[one["name"]] for one in sorted(points, key=lambda one: one["x_mm"])}
    top = min((point[1] for point in at.values()), default=0.0) - 14
    marks += rows(top, (frame.x0, top), [(point, y) for y, point in foremost.items()])
    marks += _key(say("drawing-target-place"), height) if places else []
    marks += [
        Label(written(one["label"], say), _by(at[one["name"]], frame.x0), of=Box.about([at[one["name"]]]), name=True)
        for one in points
    ]
    words = [say("drawing-alt-point", point=one["label"], place=where(one["x_mm"], one["y_mm"], say)) for one in points]
    layers = tuple(
        Layer(
            one.get("of", ""),
            _cross(frame.at(one["x_mm"], one["y_mm"])),
            say("drawing-alt-target-place", spot=one["name"], place=where(one["x_mm"], one["y_mm"], say)),
        )
        for one in places
    )
    return Scene(height, tuple(marks), (seen(say), *words), layers=layers, seat=frame.seat)


def _rungs(points: Sequence[Mapping[str, Any]], at: Mapping[str, Point]) -> list[tuple[Point, float]]:
    """For each distance the point farthest left: its extension line crosses no other."""
    nearest: dict[float, Mapping[str, Any]] = {}
    for one in sorted(points, key=lambda one: one["y_mm"]):
        nearest[one["x_mm"]] = one
    return [(at[one["name"]], x) for x, one in nearest.items()]


def _by(point: Point, centre_px: float) -> tuple[Spot, ...]:
    """Outward of its point; a name beside the centreline stands to its right."""
    if point[0] < centre_px - 1:
        return around(point, ("below", "left-below", "left-above", "above"), gap_px=7.0, most_px=96.0)
    return around(point, ("below", "right-below", "right", "right-above"), gap_px=7.0, most_px=96.0)


def _cross(at: Point) -> tuple[Stroke, Stroke]:
    (x, y), r = at, CROSS_PX
    return Stroke("cross", ((x - r, y - r), (x + r, y + r))), Stroke("cross", ((x - r, y + r), (x + r, y - r)))


def _key(words: str, height_px: float) -> list[Mark]:
    y = height_px - 12.0
    return [*_cross((EDGE_PX, y)), Label(words, (Spot(EDGE_PX + 10, y, "start"),))]
