"""What goes wrong on a job, as such things do."""

from dataclasses import dataclass, field
from random import Random

from webapp.core.sheet import Sheet
from webapp.core.state import PAUSES


@dataclass(frozen=True)
class Mishaps:
    """What goes wrong on this job. Calibrations and steps are named as the sheet names them."""

    fails: str | None = None
    not_run: str | None = None
    left_undone: str | None = None
    undone: str | None = None
    askew: bool = False
    wrong_label: bool = False
    reboots_at: str | None = None
    pauses: dict[str, tuple[str, float]] = field(default_factory=dict)


def mishaps_of(sheet: Sheet, number: int, dice: Random) -> Mishaps:
    """What goes wrong on the job of that number: some things on set jobs, so that each is there to be seen."""
    calibrations = [one["id"] for one in sheet["calibrations"]]
    names = [step["id"] for step in sheet["steps"] if not step["only_if"]]
    confirms = [step["id"] for step in sheet["steps"] if step["kind"] == "confirm" and not step["only_if"]]
    photos = [step["id"] for step in sheet["steps"] if step["kind"] == "photo"]
    pauses = {
        dice.choice(names): (
            dice.choice(PAUSES),
            dice.lognormvariate(6.3, 0.7),
        )
        for _ in range(dice.choices((0, 1, 2), (6, 3, 1))[0])
    }
    return Mishaps(
        fails=dice.choice(calibrations) if number % 20 == 3 or dice.random() < 0.12 else None,
        not_run=calibrations[-1] if number % 20 == 12 else None,
        left_undone=photos[0] if number % 20 == 17 and photos else None,
        undone=dice.choice(confirms) if confirms and dice.random() < 0.3 else None,
        askew=dice.random() < 0.6,
        wrong_label=dice.random() < 0.2,
        reboots_at=dice.choice(names[len(names) // 2 :]) if number % 20 == 7 else None,
        pauses=pauses,
    )
