"""The demo shop, of our own invention: people, and a kit that has everything the procedures ask for."""

import random
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from sqlmodel import Session, select

from webapp.core.procedure import Catalogue
from webapp.storage import codes, kit, people
from webapp.storage.tables import Item, Person

# Badge, name, role and PIN. The README names them too: a demo that nobody can sign is none.
PEOPLE = (
    ("DK4KV7", "Noor Brandt", "technician", "3141"),
    ("DC9XT3", "Ilya Sorensen", "apprentice", "5926"),
    ("DH6RM4", "Ada Pereira", "supervisor", "2468"),
    ("DQ3WC8", "Tomas Okafor", "manager", "1357"),
)
# Who is there besides where a history of years takes more hands: invented names, a third of them apprentices.
FIRST_NAMES = ("Mira", "Jonas", "Leila", "Piet", "Sanna", "Goran", "Ines", "Tariq", "Wanda", "Oskar", "Yuki", "Bruno")
LAST_NAMES = ("Albers", "Costa", "Dudek", "Ekdahl", "Farias", "Haas", "Jansen", "Keller", "Lund", "Moreau", "Novak")
BAYS: tuple[tuple[str, float, float, dict[str, Any] | None], ...] = (
    (
        "Bay 1",
        4200.0,
        11500.0,
        {
            "corners": [[5700.0, 2100.0], [5700.0, -2100.0], [-5800.0, -2100.0], [-5800.0, 2100.0]],
            "obstacles": [
                {"name": "Pillar", "corners": [[2300.0, 2100.0], [2300.0, 2000.0], [2000.0, 2000.0], [2000.0, 2100.0]]},
                {
                    "name": "Workbench",
                    "corners": [[5700.0, -600.0], [5700.0, -2100.0], [5350.0, -2100.0], [5350.0, -600.0]],
                },
            ],
        },
    ),
    ("Bay 2", 3600.0, 9000.0, None),
    ("Bay 3", 4000.0, 10500.0, None),
)
# What it is, name, and of an instrument how sure it is: largest error, more for each metre, or U with its k.
TOOLS: tuple[tuple[str, str, dict[str, Any] | None], ...] = (
    ("tape", "Tape, 5 m, class II", {"shape": "rectangular", "half_width": 0.3, "per_m": 0.2, "k": None}),
    ("inclinometer", "Inclinometer, certified", {"shape": "expanded", "half_width": 0.06, "per_m": 0.0, "k": 2.0}),
    ("level", "Spirit level, 600 mm", None),
    ("tyre-gauge", "Tyre gauge", {"shape": "rectangular", "half_width": 5.0, "per_m": 0.0, "k": None}),
)
INSPECTED_DAYS_AGO = 60
INSPECTED_EVERY_DAYS = 365


def load(db: Session, catalogue: Catalogue, today: date) -> bool:
    """Fill an empty database with the demo shop and return True; leave one that holds anybody or anything alone.

    The codes on the labels are the same every time, so that a sheet printed yesterday fits a demo begun today.
    """
    if not is_empty(db):
        return False
    for badge, name, role, pin in PEOPLE:
        people.add_person(db, name, role, pin, code=badge)
    inspected = today - timedelta(days=INSPECTED_DAYS_AGO)
    upkeep = kit.Upkeep(inspected_on=inspected, inspection_due=inspected + timedelta(days=INSPECTED_EVERY_DAYS))
    homes = _add_spots(db, catalogue)
    _add_targets(db, catalogue, homes, upkeep)
    _add_spares(db, catalogue, homes, upkeep, today)
    for is_, name, accuracy in TOOLS:
        kit.add_item(db, "tool", is_, name, upkeep, code=_code(db, is_), accuracy=accuracy)
    return True


def hire(db: Session, more: int) -> None:
    """Add so many people who work on vehicles; the same every time."""
    for number in range(more):
        name = f"{FIRST_NAMES[number % len(FIRST_NAMES)]} {LAST_NAMES[number % len(LAST_NAMES)]}"
        role = "apprentice" if number % 3 == 2 else "technician"
        badge = codes.new_code(db, "", people.BADGE_LENGTH, random.Random(name).choice)  # noqa: S311 - no secret
        people.add_person(db, name, role, code=badge)


def is_empty(db: Session) -> bool:
    """Whether the shop has neither people nor kit."""
    return not (db.exec(select(Person)).first() or db.exec(select(Item)).first())


def _add_spots(db: Session, catalogue: Catalogue) -> dict[str, str]:
    """Add the bays and every spot; return the code of each kind of spot."""
    for name, width_mm, length_mm, plan in BAYS:
        code = _code(db, name.lower().replace(" ", "-"))
        kit.add_item(db, "bay", "bay", name, code=code, area_mm=(width_mm, length_mm), plan=plan)
    added = {}
    for is_, spot in catalogue.spots.items():
        if is_ != "bay":
            added[is_] = kit.add_item(db, "spot", is_, spot.name, code=_code(db, is_)).code
    return added


def _add_targets(db: Session, catalogue: Catalogue, homes: dict[str, str], upkeep: kit.Upkeep) -> None:
    for is_, target in catalogue.targets.items():
        kind = "test-label" if is_ == "test-label" else "target"
        kit.add_item(db, kind, is_, target.name, replace(upkeep, home=homes[target.home]), code=_code(db, is_))


def _add_spares(db: Session, catalogue: Catalogue, homes: dict[str, str], upkeep: kit.Upkeep, today: date) -> None:
    """Add two targets that must not be used: one damaged, one whose inspection is overdue."""
    late = today - timedelta(days=12)
    bent = replace(upkeep, condition="damaged", note="Lower corner bent; do not use.")
    overdue = replace(upkeep, inspected_on=late - timedelta(days=INSPECTED_EVERY_DAYS), inspection_due=late)
    spared = sorted(name for name in catalogue.targets if name != "test-label")
    for is_, state in zip(spared, (bent, overdue), strict=False):
        target = catalogue.targets[is_]
        lives = replace(state, home=homes[target.home])
        kit.add_item(db, "target", is_, f"{target.name}, spare", lives, code=_code(db, is_, "spare"))


def _code(db: Session, is_: str, which: str = "") -> str:
    """Make a code as the shop's own are made, but by dice that fall the same way every time."""
    return codes.new_code(db, is_, pick=random.Random(f"{is_} {which}").choice)  # noqa: S311 - nothing to keep secret
