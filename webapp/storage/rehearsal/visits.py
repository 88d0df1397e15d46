"""Which vehicles came to the demo shop, why, and when."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from random import Random
from typing import Any

from webapp.core.events import new_id
from webapp.core.plan import propose
from webapp.core.procedure import Library, Vehicle

VISITS: tuple[tuple[tuple[str, ...], int], ...] = (
    (("windscreen-replaced",), 9),
    (("bumper-refitted",), 6),
    (("mirror-replaced",), 3),
    (("wheel-alignment-adjusted",), 4),
    (("collision-repair",), 6),
    (("camera-replaced", "control-unit-replaced"), 2),
)
"""Why vehicles come to the demo shop, and how often of 30."""

LONGEST_DAYS = 70


@dataclass(frozen=True)
class Visit:
    """One vehicle of the history: what it is, why it is here, and when the work begins."""

    vehicle: Vehicle
    reasons: tuple[str, ...]
    qualifiers: dict[str, str]
    begin: datetime


def visits(library: Library, dice: Random, jobs: int, until: datetime) -> list[Visit]:
    """As many visits as asked for, on the working days before `until`, oldest first."""
    vehicles = list(library.vehicles.values())
    reasons = dice.choices([why for why, _ in VISITS], [weight for _, weight in VISITS], k=jobs * 3)
    drawn = [(dice.choice(vehicles), why) for why in reasons]
    due = [(vehicle, why) for vehicle, why in drawn if propose(library, vehicle, why)][:jobs]
    begins = sorted(_begin(dice, number, len(due), until) for number in range(len(due)))
    return [
        Visit(vehicle, why, _qualifiers(vehicle, dice), begin)
        for (vehicle, why), begin in zip(due, begins, strict=True)
    ]


def _qualifiers(vehicle: Vehicle, dice: Random) -> dict[str, str]:
    """Most vehicles are of the common kind, which their questions name first."""
    which = 0 if dice.random() < 0.8 else -1
    return {one.name: one.options[which].value for one in vehicle.qualifiers}


def _begin(dice: Random, number: int, count: int, until: datetime) -> datetime:
    """A working morning or afternoon, far enough back that the job is over by `until`."""
    days_ago = 1 + LONGEST_DAYS * (count - number - 1) // count
    day = (until - timedelta(days=days_ago)).replace(hour=8, minute=0, second=0, microsecond=0)
    day -= timedelta(days=max(0, day.weekday() - 4))
    return day + timedelta(minutes=dice.choice((0, 15, 40, 130, 310, 340)) + dice.randrange(12))


def about(visit: Visit, number: int, dice: Random, bays: list[str]) -> dict[str, Any]:
    """The sheet's own `job` object."""
    pattern = visit.vehicle.vin[0].replace("*", "?" * 17)[:17]
    vin = "".join(dice.choice("ABCDEFGHJKLMNPRSTUVWXYZ0123456789") if one == "?" else one for one in pattern[:11])
    return {
        "id": new_id(round(visit.begin.timestamp() * 1000), dice.getrandbits(74)),
        "sort": "calibration",
        "repair_order": f"RO-{20400 + number}",
        "vin": f"{vin}{dice.randrange(10**6):06}",
        "odometer_km": dice.randrange(3_000, 140_000),
        "reasons": list(visit.reasons),
        "qualifiers": visit.qualifiers,
        "bay": dice.choice(bays) if bays else None,
    }
