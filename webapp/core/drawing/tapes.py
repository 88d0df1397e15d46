"""The four tapes as data for static/pages/tapes.mustache: a sketch of fixed shape, with one tape pointed out.

Data and a template, not a finished drawing, because the phone draws this alone while readings are taken. All
coordinates are text, written alike by Python and JavaScript.
"""

from collections.abc import Mapping
from typing import Any

from .lettering import figure
from .marks import Point
from .svg import px
from .words import Say

HUBS: dict[str, Point] = {"left": (85.0, 158.0), "right": (245.0, 158.0)}
MARKS: dict[str, Point] = {"left": (105.0, 40.0), "right": (225.0, 40.0)}

# Where a tape's reading stands: beside the straight ones, by the hub where a diagonal starts.
READINGS: dict[str, tuple[float, float, str]] = {
    "left_left": (88.0, 103.0, "end"),
    "right_right": (242.0, 103.0, "start"),
    "left_right": (104.0, 153.0, "start"),
    "right_left": (226.0, 153.0, "end"),
}


def tapes(which: str | None, readings_mm: Mapping[str, float | None], say: Say) -> dict[str, Any]:
    """Return the drawing's data.

    which: the tape to read now (left_left, right_right, left_right, right_left; first the hub, then the mark), or
    None. readings_mm: what has been read so far.
    """
    lines = [_tape(name, name == which, readings_mm.get(name), say) for name in READINGS]
    return {
        "alt": " ".join(part for part in (say("drawing-alt-tapes"), *(line["alt"] for line in lines)) if part),
        "tapes": [line for line in lines if not line["now"]] + [line for line in lines if line["now"]],
        "left_hub": say("drawing-left-hub"),
        "right_hub": say("drawing-right-hub"),
        "left_mark": say("drawing-left-mark"),
        "right_mark": say("drawing-right-mark"),
    }


def _tape(name: str, now: bool, reading_mm: float | None, say: Say) -> dict[str, Any]:
    hub, mark = name.split("_")
    (x1, y1), (x2, y2), (x, y, anchor) = HUBS[hub], MARKS[mark], READINGS[name]
    ends = {"hub": say(f"drawing-{hub}-hub"), "mark": say(f"drawing-{mark}-mark")}
    read = "" if reading_mm is None else figure(reading_mm)
    text = say("drawing-this-one") if now and not read else read
    alt = say("drawing-alt-tape-now", **ends) if now else ""
    return {
        "name": name,
        "now": now,
        "x1": px(x1),
        "y1": px(y1),
        "x2": px(x2),
        "y2": px(y2),
        "text": text,
        "x": px(x),
        "y": px(y),
        "anchor": anchor,
        "alt": alt or (say("drawing-alt-tape-read", mm=read, **ends) if read else ""),
    }
