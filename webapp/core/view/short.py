"""A step's page as its reader has it: with the short text, the full one in a fold, and the button that changes it."""

from typing import Any

from ..fold import step_of
from ..kinds.common import Person
from ..sheet import Sheet
from ..short import may_choose

View = dict[str, Any]


def for_reader(page: View, sheet: Sheet, person: Person | None) -> View:
    """The page that `job_page` or `step_page` made of this sheet, for whoever reads it.

    Put on when all else of the page is made, so that nothing but `do` can come out otherwise: cautions, pairs,
    readings, limits, hold points and drawings stand as they are. A step without a short text reads alike for everybody.
    """
    part = next((one for one in ("step", "seen") if one in page), None)
    if part is None or person is None:
        return page
    shown = page[part]
    step = step_of(sheet, shown["id"])
    if step is None or not step.get("short"):
        return page
    short = step["section"] in person.short
    read = {"do": step["short"], "full": shown["do"]} if short else {}
    choice = {"texts": {"short": short}} if part == "step" and may_choose(person) else {}
    return page | {part: shown | read | choice}
