"""Who works a calibration alone and who under supervision: that decides which hold points they meet.

A supervisor says it, by person and calibration. Where nobody has said it, an apprentice works under supervision, and
everybody else alone. Whoever works under supervision meets every hold point, the others those meant for everyone.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from .kinds.common import Moment, Person
from .sheet import Sheet

LEVELS = ("supervised", "alone")


def level_of(person: Person, calibration: str) -> str:
    """One of LEVELS."""
    return person.levels.get(calibration) or ("supervised" if person.role == "apprentice" else "alone")


def is_supervised(person: Person | None, calibrations: Sequence[str]) -> bool:
    """Whether somebody is under supervision at a step that serves these calibrations: if they are for any of them.

    A step that serves none, such as the day's check, goes by the role; nobody known is under supervision.
    """
    if person is None:
        return True
    if not calibrations:
        return person.role == "apprentice"
    return any(level_of(person, one) == "supervised" for one in calibrations)


def at_step(sheet: Sheet, step: dict[str, Any], moment: Moment) -> Moment:
    """The same moment with whether its person is under supervision at this step, where the step asks."""
    if step["hold"] != "apprentice":
        return moment
    serves: list[str] = next((one["calibrations"] for one in sheet["sections"] if one["id"] == step["section"]), [])
    return replace(moment, supervised=is_supervised(moment.person, serves))
