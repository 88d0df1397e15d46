"""What the kit's forms send, read and checked field by field."""

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from webapp.core.errors import BadInput, shown
from webapp.core.lengths import INCHES, MM, Unit, inches_read
from webapp.core.measure.area import polygon
from webapp.core.measure.floor import BAY_MM
from webapp.core.measure.instruments import SHAPES, UNITS
from webapp.core.measure.reading import Range, read
from webapp.core.numbers import number
from webapp.core.procedure import Catalogue
from webapp.messages import say
from webapp.storage.kit import NAME_CHARACTERS, Upkeep

Form = Mapping[str, str]
AREA_MM = (1000, 50_000)
# Nothing that is read in a bay is surer than the least of these, or of use beyond the greatest.
ACCURACY = {
    "mm": Range("mm", 0.001, 100),
    "deg": Range("deg", 0.0001, 10),
    "kPa": Range("kPa", 0.01, 100),
    "lx": Range("lx", 0.1, 10_000),
}


def upkeep(form: Form) -> Upkeep:
    """Return condition, dates, home and note. Raises BadInput naming the field."""
    return Upkeep(
        condition=form.get("condition", "good"),
        inspected_on=_day(form, "inspected_on"),
        inspection_due=_day(form, "inspection_due"),
        home=form.get("home") or None,
        note=form.get("note", ""),
    )


def what(form: Form, catalogue: Catalogue) -> tuple[str, str, str]:
    """Return (kind, is, the catalogue's name) of a new thing. Raises BadInput (`item-what`)."""
    kind, _, is_ = form.get("what", "").partition(":")
    for offered, things in offers(catalogue):
        for one, name in things:
            if one == f"{kind}:{is_}":
                return kind, is_, "" if offered == "tool" else name
    raise BadInput("item-what", "what", f"what={shown(form.get('what', ''))} must be one of the things on the list")


def offers(catalogue: Catalogue) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return what a new thing can be: [(kind, [("kind:is", name)])]."""
    targets = [(f"target:{name}", target.name) for name, target in catalogue.targets.items() if name != "test-label"]
    spots = [(f"spot:{name}", spot.name) for name, spot in catalogue.spots.items() if name != "bay"]
    labels = [(f"test-label:{name}", one.name) for name, one in catalogue.targets.items() if name == "test-label"]
    bays = [(f"bay:{name}", say("kit-a-bay")) for name in catalogue.spots if name == "bay"]
    return [
        ("target", targets),
        ("spot", spots),
        ("bay", bays),
        ("test-label", labels),
        ("tool", [*((f"tool:{kind}", say(f"instrument-{kind}")) for kind in UNITS), ("tool:tool", say("kit-a-tool"))]),
    ]


def area_mm(form: Form, unit: Unit) -> tuple[float, float] | None:
    """Return a bay's width and length, or None where neither is given. `unit` is what they are typed in.

    Raises BadInput naming the field.
    """
    if not (form.get("width") or form.get("length")):
        return None
    return _length_mm(form, "width", unit), _length_mm(form, "length", unit)


def accuracy(form: Form, kind: str) -> dict[str, Any] | None:
    """Return how sure an instrument is; None for another tool, or where nothing is stated.

    Raises BadInput naming the field: `shape`, `half_width`, `per_m` or `k`.
    """
    if kind not in UNITS or not any(form.get(name, "").strip() for name in ("half_width", "per_m", "k")):
        return None
    shape, unit = form.get("shape", ""), UNITS[kind]
    if shape not in (*SHAPES, "expanded"):
        what = f"shape={shown(shape)} must be one of {', '.join((*SHAPES, 'expanded'))}"
        raise BadInput("accuracy-shape", "shape", what)
    per_m = read(form["per_m"], "per_m", Range(unit, 0, 100)) if form.get("per_m", "").strip() else 0.0
    k = read(form.get("k", ""), "k", Range("", 1, 4)) if shape == "expanded" else None
    return {
        "shape": shape,
        "half_width": read(form.get("half_width", ""), "half_width", ACCURACY[unit]),
        "per_m": per_m,
        "k": k,
    }


def plan(form: Form, unit: Unit) -> dict[str, Any] | None:
    """Return a bay's plan: its corners on the first line, then each obstacle on a line of its own with its name.

    A corner is two numbers in the unit, forward and to the left; corners stand apart by `;`, a name before `:`. A
    fraction of an inch hangs on its inches by `-`, or by a blank that breaks no line. Raises BadInput (`bay-plan`, or
    as core.measure.area.polygon does), naming the field `plan` and the line.
    """
    shapes = [
        _shape(n, line, unit) for n, line in enumerate(form.get("plan", "").strip().splitlines(), 1) if line.strip()
    ]
    if not shapes:
        return None
    (_name, corners), *obstacles = shapes
    return {"corners": corners, "obstacles": [{"name": name, "corners": found} for name, found in obstacles]}


def plan_text(held: dict[str, Any] | None, unit: Unit) -> str:
    """A bay's plan as it stands in the form's field."""
    if held is None:
        return ""
    shapes = [(say("kit-kind-bay"), held["corners"]), *((one["name"], one["corners"]) for one in held["obstacles"])]
    said = inches_read if unit == INCHES else number
    return "\n".join(f"{name}: " + "; ".join(f"{said(x)} {said(y)}" for x, y in corners) for name, corners in shapes)


def _shape(line: int, text: str, unit: Unit) -> tuple[str, list[list[float]]]:
    name, _colon, rest = text.rpartition(":")
    corners = []
    for corner in rest.split(";"):
        figures = re.findall("[^ \t]+", corner)
        if len(figures) != 2:
            such = "inches" if unit == INCHES else "mm"
            seen = shown(corner.strip())
            what = f"plan: line {line}, {seen} must be two numbers in {such}, forward and to the left"
            raise BadInput("bay-plan", "plan", what)
        corners.append([read(figure, "plan", BAY_MM, unit) for figure in figures])
    if line > 1 and not name.strip():
        raise BadInput("bay-plan", "plan", f"plan: line {line} has no name; write it first, such as Pillar: 0 900; …")
    try:
        polygon([(x, y) for x, y in corners], f"line {line}")
    except BadInput as error:
        raise BadInput(error.code, "plan", f"plan: {error.message}") from error
    return " ".join(name.split())[:NAME_CHARACTERS], corners


def _day(form: Form, field: str) -> date | None:
    text = form.get(field, "").strip()
    if not text:
        return None
    try:
        if not re.fullmatch("[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            raise ValueError
        return date.fromisoformat(text)
    except ValueError as error:
        message = f"{field}={shown(text)} must be a day of the calendar, written like 2026-03-02"
        raise BadInput("not-a-day", field, message) from error


def _length_mm(form: Form, field: str, unit: Unit) -> float:
    text = form.get(field, "").strip()
    low, high = AREA_MM
    if unit == INCHES:
        return read(text, field, Range(MM, low, high), unit)
    if not re.fullmatch("[0-9]{1,6}", text) or not low <= int(text) <= high:
        raise BadInput("bay-size", field, f"{field}={shown(text)} must be whole millimetres from {low} to {high}")
    return float(text)
