"""A tap is decided on what is in memory: what has changed since then, by another process or phone, must count."""

from threading import Thread
from time import monotonic, sleep

import pytest

from tests.cast import NOOR
from webapp.core.events import Event, new_id
from webapp.storage.engine import lines, session, writing
from webapp.storage.journal import append
from webapp.storage.people import change_person
from webapp.web.moment import now, unix_ms

from .job import AtJob, Begin
from .markup import Page

ELSEWHERE = "another"


def done_elsewhere(job: AtJob) -> Event:
    """The step at hand, confirmed on another phone, as another process would add it."""
    clock, (last, *_) = now(), [*reversed(job.events())]
    done = Event(
        new_id(unix_ms()), job.id, ELSEWHERE, 1, "confirmed", job.state.current, 1, 0, clock.at, clock.mono_s,
        clock.boot, NOOR.badge, {}, last.round + 1,
    )  # fmt: skip
    with writing(job.engine) as db:
        append(db, [done])
    return done


def until(job: AtJob, waiting: int) -> None:
    late = monotonic() + 10
    while lines[job.engine].waiting < waiting:
        assert monotonic() < late
        sleep(0.001)


def test_what_another_process_added_stands_before_the_tap(at: Begin) -> None:
    job = at("/load")
    job.page()
    step = job.state.current
    done_elsewhere(job)
    assert job.send({"do": "note", "text": "Scale is at the back."}).status_code == 303
    note = job.events()[-1]
    assert (note.kind, note.step) == ("noted", job.state.current)
    assert note.step != step
    assert note.round == job.events()[-2].round + 1


def test_a_page_that_another_process_made_stale_changes_nothing(at: Begin) -> None:
    job = at("/load")
    form = job.form("leave-undone", reason="No scale here.")
    done_elsewhere(job)
    before = job.events()
    assert job.send(form).status_code == 409
    assert job.events() == before


def test_a_badge_that_was_taken_back_since_the_last_tap_counts_no_more(at: Begin) -> None:
    job = at("/load")
    job.tap("note", text="With a badge.")
    with writing(job.engine) as db:
        change_person(db, NOOR.badge, name="Noor", role="technician", active=False)
    job.send({"do": "note", "text": "Without one."})
    assert [event.person for event in job.events()[-2:]] == [NOOR.badge, None]


def test_a_badge_with_a_new_role_is_taken_at_its_new_word(at: Begin) -> None:
    job = at("/load")
    job.tap("note", text="As a technician.")
    with writing(job.engine) as db:
        change_person(db, NOOR.badge, name="Noor", role="apprentice", active=True)
    job.tap("confirm")  # a hold point for apprentices or not: decided by the role of now
    held = next(one for one in job.sheet["steps"] if one["id"] == "vehicle-ready/load")["hold"] == "apprentice"
    assert (job.state.step("vehicle-ready/load").status == "held") == held


@pytest.mark.sqlite
def test_taps_on_one_job_that_come_at_once_are_all_kept_one_after_another(at: Begin) -> None:
    job = at("/load")
    before = len(job.events())
    app = job.client.application
    cookie = job.client.get_cookie("session")
    assert cookie

    def note(number: int) -> None:
        phone = app.test_client()
        phone.set_cookie("session", cookie.value)
        phone.post(job.url, data={"do": "note", "text": f"Note {number}"})

    with writing(job.engine):  # all of them decide on the same state, and wait for their turn
        taps = [Thread(target=note, args=(number,)) for number in range(8)]
        for tap in taps:
            tap.start()
        until(job, 8)
    for tap in taps:
        tap.join(20)
    added = job.events()[before:]
    assert sorted(event.data["text"] for event in added) == [f"Note {number}" for number in range(8)]
    assert len({event.seq for event in added}) == 8
    with session(job.engine) as db:
        assert db.connection().exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
    assert "Note 7" in Page(job.client.get(f"{job.url}/more").text).text
