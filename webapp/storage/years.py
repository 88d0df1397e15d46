"""A long history for the demo shop: years of jobs, with what a shop goes through in years.

A few hundred jobs are gone through tap by tap, as in `history`; all others retell one of them with times of their own.
Every job has a journal of its own, which folds to its times. What retold jobs share with the one they retell is the
sheet: it is a third of a megabyte, and a hundred thousand of them would say nothing new.

In these years people learn, a revision of one procedure helps, and for some weeks a target is out of true.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from hashlib import sha256
from itertools import count, islice
from pathlib import Path
from random import Random

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import insert
from sqlalchemy.engine import Engine
from sqlmodel import Session

from webapp.core.events import new_id
from webapp.core.evidence import Entry, journal_digest
from webapp.core.freeze import make_sheet
from webapp.core.kinds.common import Person
from webapp.core.plan import propose
from webapp.core.procedure import Library
from webapp.core.sheet import Sheet
from webapp.core.state import JobState
from webapp.messages import english
from webapp.storage import demo, kit, log, people, times
from webapp.storage.engine import writing
from webapp.storage.journal import as_event, next_seq
from webapp.storage.rehearsal import (
    Cards,
    Cast,
    Pattern,
    Technician,
    Telling,
    Visit,
    about,
    mishaps_of,
    pattern,
    retell,
)
from webapp.storage.rehearsal.retold import Row
from webapp.storage.sheets import keep_sheet
from webapp.storage.tables import EventRow, Job

DEVICE = "demo-phone"
TOGETHER = 1000
"""So many jobs are kept in one transaction."""

PATTERNS = 90
"""So many jobs are gone through for each of the two revisions."""

VISITS: tuple[tuple[tuple[str, ...], int], ...] = (
    (("windscreen-replaced",), 12),
    (("mirror-replaced",), 5),
    (("parking-sensor-replaced",), 4),
    (("headlamp-replaced",), 4),
    (("radar-replaced",), 4),
    (("wheel-alignment-adjusted",), 3),
    (("bumper-refitted",), 2),
    (("collision-repair",), 1),
)
MOST_CALIBRATIONS = 4
"""Two to six calibrations are a day's work. Larger repairs come to the demo's short history."""

REVISED, HELPED = "forward-radar-static", 0.78
"""The procedure whose newest revision helped, and what its steps then take of what they took."""
REVISED_AT = 0.6
"""That part of the time had passed when it came."""
OUT_OF_TRUE, OUT_FROM, OUT_TO = "forward-camera-static", 0.72, 0.76
"""The calibration whose target was out of true, and in which part of the time."""
SLOW_BAY = 1.08
"""In the last bay everything takes a little longer: its light is poorer."""
LEARNS = -0.09
"""T_n = T_1 · n^b: what somebody's n-th job of a kind takes."""
LEARNED_AT = 400

JOBS_A_DAY = 3.5
"""What one person brings to an end on a working day."""
MOST_YEARS = 5.0


@dataclass
class Worker:
    """Somebody of the crew: how quick by nature, and how many jobs they have had of each section."""

    person: Person
    pace: float
    had: dict[str, int]

    def pace_for(self, told: Pattern, more: float) -> dict[str, float]:
        """How much longer each section of this job takes them; once more, they are a little more practised."""
        paces = {}
        for section in told.sheet["sections"]:
            name = section["id"]
            self.had[name] = nth = self.had.get(name, 0) + 1
            paces[name] = self.pace * more * (min(nth, LEARNED_AT) / 30) ** LEARNS
        return paces


@dataclass(frozen=True)
class Pool:
    """The jobs that can be retold, and how often each is: on usual days, and while the target is out of true."""

    patterns: list[Pattern]
    usual: NDArray[np.float64]
    out_of_true: NDArray[np.float64]

    @classmethod
    def of(cls, patterns: list[Pattern]) -> "Pool":
        usual = np.array([(0.3 if one.failed else 1.0) * (0.4 if one.estimated else 1.0) for one in patterns])
        out = usual * np.array([12.0 if OUT_OF_TRUE in one.failed else 1.0 for one in patterns])
        return cls(patterns, usual / usual.sum(), out / out.sum())

    def pick(self, at: float, dice: np.random.Generator) -> Pattern:
        weights = self.out_of_true if OUT_FROM <= at < OUT_TO else self.usual
        return self.patterns[dice.choice(len(self.patterns), p=weights)]


@dataclass(frozen=True)
class Shop:
    """Who works, and what can be retold: by the role of who works and by whether the revision had come."""

    crew: list[Worker]
    pools: dict[tuple[str, bool], Pool]
    slow_bay: str | None


def load_years(engine: Engine, library: Library, photos: Path, jobs: int, seed: int, until: datetime) -> int:
    """Add `jobs` finished jobs of several years to a shop that has people and kit; return how many were added.

    They are kept a thousand at a time, so what is there when this is broken off is whole.
    """
    dice = Random(seed)  # noqa: S311 - nothing to keep secret
    begins = _begins(jobs, until, np.random.default_rng(seed))
    days = (until.timestamp() * 1000 - begins[0]) / 86_400_000
    with writing(engine) as db:
        crew = _crew(db, max(2, round(jobs / (days * 5 / 7) / JOBS_A_DAY)), dice)
        bays = [item.code for item in kit.items(db) if item.kind == "bay"]
        shop = Shop(crew, _pools(db, library, photos, crew, bays, dice, until), slow_bay=bays[-1] if bays else None)
        first_seq = next_seq(db, DEVICE)
    made = _told(begins, shop, first_seq, dice, np.random.default_rng(seed + 1))
    while chunk := list(islice(made, TOGETHER)):
        with writing(engine) as db:
            connection = db.connection()
            connection.execute(insert(Job), [job for job, *_ in chunk])
            connection.execute(insert(EventRow), [row for _, rows, *_ in chunk for row in rows])
            times.add_times(db, [(job["id"], sheet, state) for job, _, sheet, state in chunk])
            log.add(db, [_entry(job, rows) for job, rows, *_ in chunk])
    return jobs


def _entry(job: Row, rows: list[Row]) -> Entry:
    """The job as the log tells of it."""
    lines = ((row["device"], row["seq"], sha256(as_event(row).as_json().encode()).hexdigest()) for row in rows)
    return Entry(job["phase"], job["id"], job["sheet"], journal_digest(lines), len(rows), job["finished_at"])


def _told(
    begins: list[int], shop: Shop, first_seq: int, dice: Random, numbers: np.random.Generator
) -> Iterator[tuple[Row, list[Row], Sheet, JobState]]:
    """The jobs one after another: the job's row, its journal's rows, its sheet and its state."""
    orders, seq = count(20_400), first_seq
    for number, begin_ms in enumerate(begins):
        at = number / len(begins)
        worker = dice.choice(shop.crew)
        told = shop.pools[worker.person.role, at >= REVISED_AT].pick(at, numbers)
        slow = SLOW_BAY if told.sheet["job"]["bay"] == shop.slow_bay else 1.0
        by = Telling(
            job=new_id(begin_ms, dice.getrandbits(74)),
            begin_ms=begin_ms,
            device=DEVICE,
            first_seq=seq,
            person=worker.person.code,
            pace=_revised(worker.pace_for(told, slow), at),
        )
        rows, state = retell(told, by, numbers)
        seq += len(rows)
        yield _job(told, by, state, f"RO-{next(orders)}", dice), rows, told.sheet, state


def _revised(pace: dict[str, float], at: float) -> dict[str, float]:
    return pace | {REVISED: pace[REVISED] * HELPED} if at >= REVISED_AT and REVISED in pace else pace


def _job(told: Pattern, by: Telling, state: JobState, order: str, dice: Random) -> Row:
    said = told.sheet["job"]
    return {
        "id": by.job,
        "sort": said["sort"],
        "phase": state.phase,
        "created_at": state.started_at,
        "made_by": by.person,
        "repair_order": order,
        "vin": f"{said['vin'][:11]}{dice.randrange(10**6):06}",
        "vehicle": told.sheet["vehicle"]["id"],
        "sheet": told.sheet_hash,
        "started_at": state.started_at,
        "finished_at": state.ended_at,
        "odometer_km": dice.randrange(3_000, 140_000),
        **{name: said[name] for name in ("reasons", "qualifiers", "bay")},
    }


def _begins(jobs: int, until: datetime, dice: np.random.Generator) -> list[int]:
    """When each job begins, in Unix milliseconds, the oldest first: working days, an early and a late shift."""
    days = round(365 * min(max(jobs / 500, 1.0), MOST_YEARS))
    first = (until - timedelta(days=days)).replace(hour=0, minute=0, second=0, microsecond=0)
    working = [day for number in range(days - 1) if (day := first + timedelta(days=number)).weekday() < 5]
    midnights = np.array([int(day.timestamp() * 1000) for day in working], np.int64)
    shift = np.where(dice.random(jobs) < 0.65, 7 * 3600, 13 * 3600) + dice.integers(0, 5 * 3600, jobs)
    begins = midnights[dice.integers(0, len(midnights), jobs)] + shift * 1000 + dice.integers(0, 1000, jobs)
    return [int(one) for one in np.sort(begins)]


def _crew(db: Session, size: int, dice: Random) -> list[Worker]:
    """Who does the work: the demo shop's own technician and apprentice, and as many more as the jobs take."""
    demo.hire(db, size - 2)
    doers = [one for one in people.everyone(db) if one.active and one.role in ("technician", "apprentice")]
    return [
        Worker(
            Person(one.code, one.role, one.name), (1.15 if one.role == "apprentice" else 0.95) * dice.gauss(1, 0.07), {}
        )
        for one in sorted(doers, key=lambda one: one.code)
    ]


def _pools(
    db: Session, library: Library, photos: Path, crew: list[Worker], bays: list[str], dice: Random, until: datetime
) -> dict[tuple[str, bool], Pool]:
    held_kit, cards = kit.kit(db), Cards(photos)
    supervisor = next(one for one in people.everyone(db) if one.active and one.role == "supervisor")
    witness = Person(supervisor.code, supervisor.role, supervisor.name)
    made: dict[tuple[str, bool], list[Pattern]] = {}
    for number, visit in enumerate(_visits(library, dice, until)):
        for revised in (False, True):
            role = "apprentice" if number % 3 == 2 else "technician"
            worker = next((one for one in crew if one.person.role == role), crew[0])
            sheet = _sheet(library, visit, about(visit, number, dice, bays), revised)
            mishaps = mishaps_of(sheet, number, dice)
            if number % 5 == 1 and OUT_OF_TRUE in {one["id"] for one in sheet["calibrations"]}:
                mishaps = replace(mishaps, fails=OUT_OF_TRUE)
            cast = Cast(worker.person, witness, held_kit, cards.name)
            technician = Technician(sheet, cast, mishaps, visit.begin, 1.0, dice)
            technician.work()
            known = pattern(keep_sheet(db, sheet), sheet, technician.events(DEVICE, 1))
            made.setdefault((worker.person.role, revised), []).append(known)
    return {key: Pool.of(patterns) for key, patterns in made.items()}


def _visits(library: Library, dice: Random, until: datetime) -> list[Visit]:
    """Small repairs mostly. Each pattern's own days do not matter, but that its kit was in date on them."""
    begin = (until - timedelta(days=1)).replace(hour=9, minute=0, second=0, microsecond=0)
    vehicles = list(library.vehicles.values())
    reasons = [why for why, _ in VISITS]
    found: list[Visit] = []
    while len(found) < PATTERNS:
        vehicle, why = dice.choice(vehicles), dice.choices(reasons, [weight for _, weight in VISITS])[0]
        if 0 < len(propose(library, vehicle, why)) <= MOST_CALIBRATIONS:
            qualifiers = {one.name: one.options[0].value for one in vehicle.qualifiers}
            found.append(Visit(vehicle, why, qualifiers, begin))
    return found


def _sheet(library: Library, visit: Visit, job: Row, revised: bool) -> Sheet:
    sheet = make_sheet(library, job, visit.vehicle, propose(library, visit.vehicle, visit.reasons), {}, english)
    if revised:
        return sheet
    sections, calibrations = (
        [one | {name: one[name] - 1} if one["id"] == REVISED else one for one in sheet[part]]
        for part, name in (("sections", "revision"), ("calibrations", "procedure_revision"))
    )
    return sheet | {"sections": sections, "calibrations": calibrations}
