"""Events go in once, in order, and come out as they went in."""

from dataclasses import replace

import pytest
from sqlalchemy.engine import Engine
from sqlalchemy.exc import IntegrityError

from webapp.core.errors import Conflict
from webapp.core.events import Event, new_id
from webapp.storage.engine import session, writing
from webapp.storage.journal import append, events_of, next_seq
from webapp.storage.tables import Job

SCAN = Event(
    id=new_id(1_700_000_000_000),
    job="J-1",
    device="server",
    seq=1,
    kind="scanned",
    step="forward-camera-static/hang",
    attempt=2,
    turn=3,
    at="2026-03-02T08:15:00.125Z",
    mono_s=12.5,
    boot="b1",
    person="B-7KQ4",
    data={"text": "T-FC-4K7 – “mat”", "verdict": "match", "next": None},
)


def later(event: Event, seq: int, **changes: object) -> Event:
    return replace(event, id=new_id(1_700_000_000_000), seq=seq, **changes)  # type: ignore[arg-type]


@pytest.fixture
def jobs(engine: Engine) -> Engine:
    with writing(engine) as db:
        db.add_all([Job(id=name, sort="calibration", phase="open", created_at=SCAN.at) for name in ("J-1", "J-2")])
    return engine


def test_an_event_comes_back_as_it_went_in(jobs: Engine) -> None:
    with writing(jobs) as db:
        append(db, [SCAN])
    with session(jobs) as db:
        assert events_of(db, "J-1") == [(1, SCAN)]


def test_events_come_in_the_order_in_which_they_were_added_job_by_job(jobs: Engine) -> None:
    one, other, two = SCAN, later(SCAN, 2, job="J-2"), later(SCAN, 3)
    with writing(jobs) as db:
        append(db, [one, other, two])
    with session(jobs) as db:
        assert events_of(db, "J-1") == [(1, one), (3, two)]
        assert events_of(db, "J-1", after=1) == [(3, two)]
        assert events_of(db, "J-2") == [(2, other)]


def test_a_job_made_in_the_same_transaction_can_have_events(engine: Engine) -> None:
    with writing(engine) as db:
        db.add(Job(id="J-1", sort="day", phase="open", created_at=SCAN.at))
        append(db, [SCAN])
    with session(engine) as db:
        assert [event for _, event in events_of(db, "J-1")] == [SCAN]


@pytest.mark.parametrize(
    "twice",
    [later(SCAN, 1), replace(SCAN, seq=2)],
    ids=["the same seq of a device", "the same id"],
)
def test_nothing_is_kept_twice_and_the_whole_transaction_is_refused(jobs: Engine, twice: Event) -> None:
    with writing(jobs) as db:
        append(db, [SCAN])
    with pytest.raises(Conflict) as refused, writing(jobs) as db:
        append(db, [later(SCAN, 7), twice])
    assert refused.value.code == "event-kept-already"
    with session(jobs) as db:
        assert events_of(db, "J-1") == [(1, SCAN)]


def test_an_event_of_no_job_is_our_own_mistake_and_stays_loud(engine: Engine) -> None:
    with pytest.raises(IntegrityError), writing(engine) as db:
        append(db, [SCAN])


def test_each_device_counts_for_itself(jobs: Engine) -> None:
    with writing(jobs) as db:
        assert next_seq(db, "server") == 1
        append(db, [SCAN, later(SCAN, 2), later(SCAN, 1, device="phone")])
        assert (next_seq(db, "server"), next_seq(db, "phone"), next_seq(db, "another")) == (3, 2, 1)
