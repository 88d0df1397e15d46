"""Jobs are found by id, by phase and by VIN."""

from collections.abc import Iterator

import pytest
from sqlalchemy.engine import Engine
from sqlmodel import Session

from webapp.core.errors import NotFound
from webapp.storage.engine import session, writing
from webapp.storage.jobs import create_job, job_of, jobs_in, last_day_check, others_on

VIN = "YZ9RV4WF7R1000042"


def at(minute: int) -> str:
    return f"2026-03-02T08:{minute:02}:00.000Z"


@pytest.fixture
def db(engine: Engine) -> Iterator[Session]:
    with writing(engine) as held:
        yield held


def test_a_job_begins_in_planning_and_keeps_what_was_said_of_it(engine: Engine) -> None:
    about = {
        "vin": VIN,
        "reasons": ["windscreen-replaced"],
        "qualifiers": {"driven-axles": "front"},
        "odometer_km": 12345.0,
    }
    with writing(engine) as db:
        create_job(db, "J-1", "calibration", at(0), **about)
    with session(engine) as db:
        job = job_of(db, "J-1")
    assert (job.phase, job.created_at, job.vin, job.odometer_km) == ("planning", at(0), VIN, 12345.0)
    assert (job.reasons, job.qualifiers) == (["windscreen-replaced"], {"driven-axles": "front"})
    assert job.plan == {"added": {}, "struck": {}}


def test_an_unknown_job_is_named(db: Session) -> None:
    with pytest.raises(NotFound, match="job='J-9' is not known here"):
        job_of(db, "J-9")


def test_jobs_are_listed_by_phase_the_newest_first_and_day_checks_apart(db: Session) -> None:
    for minute, phase in enumerate(("open", "finished", "planning", "open", "abandoned")):
        create_job(db, f"J-{minute}", "calibration", at(minute), phase=phase)
    create_job(db, "D-1", "day", at(9), phase="open")
    assert [job.id for job in jobs_in(db, "planning", "open")] == ["J-3", "J-2", "J-0"]
    assert [job.id for job in jobs_in(db, "open", sort="day")] == ["D-1"]
    assert [job.id for job in jobs_in(db, "planning", "open", limit=1)] == ["J-3"]


def test_other_work_on_the_same_vehicle_is_found(db: Session) -> None:
    for minute, phase in enumerate(("open", "finished", "planning")):
        create_job(db, f"J-{minute}", "calibration", at(minute), phase=phase, vin=VIN)
    create_job(db, "D-1", "day", at(9), phase="open")
    assert [job.id for job in others_on(db, VIN)] == ["J-2", "J-0"]
    assert [job.id for job in others_on(db, VIN, but="J-2")] == ["J-0"]
    assert others_on(db, "") == []


def test_the_last_equipment_check_is_the_one_begun_last_and_not_abandoned(db: Session) -> None:
    assert last_day_check(db) is None
    create_job(db, "D-1", "day", at(1), phase="finished")
    create_job(db, "D-2", "day", at(2), phase="open")
    create_job(db, "D-3", "day", at(3), phase="abandoned")
    found = last_day_check(db)
    assert found is not None
    assert found.id == "D-2"
