"""A step's drawing as the job stands: the bay under it, what is placed solid, what comes next in here and now's ink."""

from typing import Any

from ..drawing.bay import in_bay
from ..lengths import MM
from ..sheet import Say, Sheet
from ..state import StepState

Shown = dict[str, Any]


def drawing_view(sheet: Sheet, step: Shown, was: StepState, say: Say) -> Shown | None:
    """The step's drawing with `says`, lines that tell in words what the job adds to it; None where it has none."""
    drawing = step["drawing"]
    if drawing is None:
        return None
    svg, placed = _placed(drawing["svg"], step.get("pairs", []), was, say)
    svg, bay = in_bay(svg, sheet["job"].get("floor_plan"), say, sheet.get("unit", MM))
    return {**drawing, "svg": svg, "says": [*placed, *bay]}


def _placed(svg: str, pairs: list[Shown], was: StepState, say: Say) -> tuple[str, list[str]]:
    """Of the targets that this step places, those that are there, and the one that is to be placed next."""
    drawn = [(number, one) for number, one in enumerate(pairs) if f'data-spot="{one["spot"]}"' in svg]
    there = {one["pair"] for one in was.placed}
    done = [one for number, one in drawn if number in there]
    still = [one for number, one in drawn if number not in there]
    for one in done:
        svg = _marked(svg, one["spot"], "there")
    if still:
        svg = _marked(svg, still[0]["spot"], "next")
    words = [say("drawing-there", spots="; ".join(str(one["spot_name"]) for one in done))] if done else []
    return svg, words + ([say("drawing-next", spot=still[0]["spot_name"])] if still else [])


def _marked(svg: str, spot: str, look: str) -> str:
    mark = f'data-spot="{spot}"'
    return svg.replace(mark, f'{mark} class="{look}"')
