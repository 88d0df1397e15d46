"""A history for the demo shop: finished jobs of the last weeks, worked by make-believe people, kept like real ones; and
one that is in hand.

Each job is planned, frozen, tapped through and folded by the same functions as a job on a phone; only the hands are
made up. The same seed makes the same history, but for the days it lies on.
"""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from math import exp
from pathlib import Path
from random import Random
from typing import Any

from sqlalchemy.engine import Engine
from sqlmodel import Session

from webapp.core.freeze import make_sheet
from webapp.core.kinds.common import Person
from webapp.core.plan import propose
from webapp.core.procedure import Library
from webapp.core.sheet import Sheet
from webapp.messages import english
from webapp.storage import attachments, kit, log, people, times
from webapp.storage.engine import writing
from webapp.storage.jobs import create_job
from webapp.storage.journal import append, next_seq
from webapp.storage.rehearsal import Cards, Cast, Mishaps, Technician, Visit, about, mishaps_of, visits
from webapp.storage.sheets import keep_sheet
from webapp.storage.years import load_years

DEVICE = "demo-phone"
IN_HAND_H = 4
"""A job that is in hand was begun so long ago: none takes so long up to its first target."""
MOST_REHEARSED = 300
"""A longer history is one of years, in which most jobs retell another one (`years`)."""


def load_history(
    engine: Engine, library: Library, photos: Path, jobs: int = 40, seed: int = 1, until: datetime | None = None
) -> int:
    """Add finished jobs to a shop that has people and kit, in one transaction; return how many were added.

    `until` is when the last of them was finished at the latest (now, unless said otherwise). Photos are plain cards
    that say they are none; `photos` is their folder.
    """
    until = until or datetime.now(UTC)
    if jobs > MOST_REHEARSED:
        return load_years(engine, library, photos, jobs, seed, until)
    dice = Random(seed)  # noqa: S311 - nothing to keep secret
    due = visits(library, dice, jobs, until)
    if not due:
        return 0
    with writing(engine) as db:
        cards = Cards(photos)
        teams, held_kit = _teams(db), kit.kit(db)
        bays = [item.code for item in kit.items(db) if item.kind == "bay"]
        sheets: dict[str, Sheet] = {}
        for number, visit in enumerate(due):
            doer, supervisor, pace = teams[0] if dice.random() < 0.65 else teams[-1]
            cast = Cast(doer, supervisor, held_kit, cards.name)
            learned = 1 + 0.25 * exp(-3 * number / len(due))
            sheet = _sheet(library, visit, about(visit, number, dice, bays), sheets)
            mishaps = mishaps_of(sheet, number, dice)
            technician = Technician(sheet, cast, mishaps, visit.begin, pace * learned, dice)
            _keep(db, sheet, technician, cards)
    return len(due)


def begin_one(engine: Engine, library: Library, photos: Path, number: int, now: datetime) -> bool:
    """Add a job that was begun some hours ago and is paused where its first target is to be hung, so that whoever looks
    around can go on with it. `number` is that of its repair order. Whether it is in hand: a library without a vehicle
    or a target for it has none.
    """
    dice, why = Random(number), ("windscreen-replaced",)  # noqa: S311 - nothing to keep secret
    vehicle = next((one for one in library.vehicles.values() if propose(library, one, why)), None)
    if vehicle is None:
        return False
    common = {one.name: one.options[0].value for one in vehicle.qualifiers}
    visit = Visit(vehicle, why, common, now - timedelta(hours=IN_HAND_H))
    with writing(engine) as db:
        cards = Cards(photos)
        doer, supervisor, pace = _teams(db)[0]
        bays = [item.code for item in kit.items(db) if item.kind == "bay"]
        sheet = _sheet(library, visit, about(visit, number, dice, bays), {})
        cast = Cast(doer, supervisor, kit.kit(db), cards.name)
        technician = Technician(sheet, cast, Mishaps(), visit.begin, pace, dice)
        _keep(db, sheet, technician, cards, until=_hangs_a_target)
    return technician.state.phase == "open"


def _hangs_a_target(step: dict[str, Any]) -> bool:
    return any(one["target"] and one["spot"] for one in step.get("pairs", []))


def _keep(
    db: Session, sheet: Sheet, technician: Technician, cards: Cards, until: Callable[[Any], bool] = lambda _step: False
) -> None:
    state, job_said = technician.work(until), sheet["job"]
    events = technician.events(DEVICE, next_seq(db, DEVICE))
    job = create_job(
        db,
        job_said["id"],
        job_said["sort"],
        events[0].at,
        phase=state.phase,
        made_by=technician.cast.person.code,
        vehicle=sheet["vehicle"]["id"],
        sheet=keep_sheet(db, sheet),
        started_at=state.started_at,
        finished_at=state.ended_at,
        **{name: job_said[name] for name in ("repair_order", "vin", "odometer_km", "reasons", "qualifiers", "bay")},
    )
    append(db, events)
    for event in events:
        if event.kind == "photographed":
            attachments.attach(db, cards.photo(event), event)
    if state.ended_at:
        times.write_times(db, job, sheet, state)
        log.enter(db, job)


def _sheet(library: Library, visit: Visit, job: dict[str, Any], made: dict[str, Sheet]) -> Sheet:
    """The sheet of this visit.

    Visits of one vehicle with one plan differ in job and reasons alone: steps and drawings are worked out once.
    """
    plan = propose(library, visit.vehicle, visit.reasons)
    key = f"{visit.vehicle.vehicle} {sorted(visit.qualifiers.items())} {[one.procedure for one in plan]}"
    if key not in made:
        made[key] = make_sheet(library, job, visit.vehicle, plan, {}, english)
    because = {one.procedure: list(one.because) for one in plan}
    calibrations = [one | {"because": because[one["id"]]} for one in made[key]["calibrations"]]
    return made[key] | {"job": job, "calibrations": calibrations}


def _teams(db: Session) -> list[tuple[Person, Person, float]]:
    """Who does the work, who countersigns, and the pace: the technician first, the apprentice last."""
    known = [Person(one.code, one.role, one.name) for one in people.everyone(db) if one.active]
    supervisor = next(one for one in known if one.role == "supervisor")
    doers = [one for one in known if one.role in ("technician", "apprentice")] or [supervisor]
    return [
        (one, supervisor, 1.05 if one.role == "apprentice" else 0.8)
        for one in sorted(doers, key=lambda one: one.role, reverse=True)
    ]
