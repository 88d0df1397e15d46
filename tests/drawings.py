"""What the tests of drawings share: the drawings of the vehicles that ship, odd ones, and what a finished SVG says."""

import xml.etree.ElementTree as ET
from collections.abc import Callable
from typing import Any

from webapp.core.drawing.lettering import width_px
from webapp.core.drawing.marks import LINE_PX, SIZE_PX, Box
from webapp.core.drawing.svg import BASELINE_PX
from webapp.core.freeze import make_sheet
from webapp.core.plan import Proposal
from webapp.core.procedure import Library
from webapp.core.sheet import Sheet
from webapp.messages import say

SVG = "{http://www.w3.org/2000/svg}"
OUTLINE = {
    "length_mm": 4720.0,
    "width_mm": 1840.0,
    "wheelbase_mm": 2800.0,
    "front_overhang_mm": 900.0,
    "track_front_mm": 1560.0,
    "track_rear_mm": 1550.0,
}
SQUARE: dict[str, Any] = {
    "method": "square",
    "track_mm": 1560.0,
    "bar_mm": 1200.0,
    "u_mm": 1.0,
    "target": {"distance_mm": 1500.0, "offset_mm": 0.0, "yaw_deg": 0.0},
    "limits": {},
}
FLOOR: dict[str, Any] = {
    "method": "floor",
    "points": [
        {"name": f"p{number}", "label": label, "x_mm": x, "y_mm": y}
        for number, (label, x, y) in enumerate(
            [("behind, left", -5000.0, 1900.0), ("behind, right", -5000.0, -1900.0), ("ahead", 1600.0, 0.0)]
        )
    ],
    "spots": [{"name": "left arm", "x_mm": 1500.0, "y_mm": 420.0}],
}
AREA = {"ahead_mm": 4500.0, "behind_mm": 1500.0, "each_side_mm": 1800.0}


def at(x_mm: float, y_mm: float, name: str = "left arm", **more: Any) -> dict[str, Any]:
    """A placement as a sheet has it."""
    usual: dict[str, Any] = {
        "target": "panel",
        "target_name": "Camera board",
        "spot": "arm",
        "spot_name": name,
        "x_mm": x_mm,
        "y_mm": y_mm,
        "height_mm": None,
        "yaw_deg": None,
        "size_mm": None,
    }
    return usual | more


def shipped(library: Library, wording: Callable[..., str] = say) -> list[tuple[str, dict[str, str]]]:
    """Every drawing of every step, for every vehicle with all its calibrations."""
    made = []
    for name in library.vehicles:
        steps = shipped_sheet(library, name, wording)["steps"]
        made += [(f"{name} {step['id']}", step["drawing"]) for step in steps if step["drawing"]]
    return made


def shipped_sheet(library: Library, name: str, wording: Callable[..., str] = say) -> Sheet:
    """The sheet of that vehicle's job with all its calibrations."""
    vehicle = library.vehicles[name]
    qualifiers = {one.name: one.options[0].value for one in vehicle.qualifiers}
    job = {"id": "J1", "sort": "calibration", "repair_order": "RO-1", "vin": "", "odometer_km": 1}
    plan = [Proposal(one, (), None) for one in vehicle.specs]
    return make_sheet(library, job | {"reasons": [], "qualifiers": qualifiers}, vehicle, plan, {}, wording)


def texts(svg: str) -> list[tuple[str, Box]]:
    """Each line of text with the box that it covers; a number in a ring covers its ring."""
    root = ET.fromstring(svg)
    rings = {(one.get("cx"), float(one.get("cy", 0))) for one in root.iter(f"{SVG}circle") if one.get("r") == "9"}
    found = []
    for one in root.iter(f"{SVG}text"):
        text, x, top = one.text or "", float(one.get("x", 0)), float(one.get("y", 0)) - BASELINE_PX
        wide = width_px(text, SIZE_PX)
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[one.get("text-anchor", "start")]
        box = Box(left, top, left + wide, top + LINE_PX)
        if any(cx == one.get("x") and abs(cy - box.middle()[1]) < 0.2 for cx, cy in rings):
            box = Box(x, box.middle()[1], x, box.middle()[1]).grown(9.0)
        found.append((text, box))
    return found


def size(svg: str) -> tuple[float, float]:
    """The width and height of the drawing's own coordinates."""
    _, _, wide, high = ET.fromstring(svg).get("viewBox", "").split()
    return float(wide), float(high)


def quarrels(svg: str) -> list[str]:
    """What is wrong with a drawing's lettering: two texts on one place, or a text over the edge."""
    (wide, high), found = size(svg), texts(svg)
    wrong = [f"'{text}' over the edge" for text, box in found if not _inside(box, wide, high)]
    # Lines of one label stand close by design, and coordinates are written to a tenth of a pixel.
    return wrong + [
        f"'{one}' on '{other}'"
        for number, (one, box) in enumerate(found)
        for other, second in found[number + 1 :]
        if box.grown(-0.15).overlap(second) > 0
    ]


def _inside(box: Box, wide: float, high: float) -> bool:
    return 0 <= box.left <= box.right <= wide and 0 <= box.top <= box.bottom <= high


def pens(svg: str) -> dict[str, list[str]]:
    """The paths drawn with each pen."""
    root = ET.fromstring(svg)
    return {
        group.get("class", ""): [path.get("d", "") for path in group.iter(f"{SVG}path")]
        for group in root.iter(f"{SVG}g")
    }
