"""Who works alone: said by a supervisor with a reason and a PIN; the shop's own jobs propose it and never grant it."""

from datetime import timedelta
from random import Random

import pytest
from flask.testing import FlaskClient
from sqlalchemy import update
from sqlalchemy.engine import Engine
from sqlmodel import col, select

from tests.cast import ADA, ILYA, NOOR, TOMAS, Someone, scan_badge
from webapp.config import Settings
from webapp.core.procedure import Library
from webapp.storage import people
from webapp.storage.competence import say_level
from webapp.storage.engine import session, writing
from webapp.storage.rehearsal.readings import readings_inside
from webapp.storage.tables import Competence, JobTime, StepTime

from .job import Begin, begin
from .markup import Page

CAMERA = "forward-camera-static"
PAGE = f"/people/{ILYA.badge}/competence"
ALONE = {"calibration": CAMERA, "level": "alone", "reason": "Watched on five jobs.", "your_pin": ADA.pin}


def levels(engine: Engine, someone: Someone) -> dict[str, str]:
    with session(engine) as db:
        return people.levels_of(people.person(db, someone.badge).levels)


def test_a_supervisor_lets_an_apprentice_work_a_calibration_alone_and_it_is_kept_who_said_it(
    client: FlaskClient, demo_engine: Engine
) -> None:
    scan_badge(client, ADA)
    assert client.post(PAGE, data=ALONE).status_code == 303
    assert levels(demo_engine, ILYA) == {CAMERA: "alone"}
    back = {"calibration": CAMERA, "level": "supervised", "reason": "A board hung upside down.", "your_pin": ADA.pin}
    assert client.post(PAGE, data=back).status_code == 303
    assert levels(demo_engine, ILYA) == {CAMERA: "supervised"}
    with session(demo_engine) as db:
        said = [(one.level, one.by, one.why) for one in db.exec(select(Competence).order_by(col(Competence.id)))]
    assert said == [("alone", ADA.badge, ALONE["reason"]), ("supervised", ADA.badge, back["reason"])]
    page = Page(client.get(PAGE).text).text
    assert page.index(back["reason"]) < page.index(ALONE["reason"])
    assert ADA.name in page


@pytest.mark.parametrize(
    ("who", "changed", "status", "says"),
    [
        (NOOR, {}, 403, "for a supervisor or a manager"),
        (ILYA, {"your_pin": ILYA.pin}, 403, "for a supervisor or a manager"),
        (ADA, {"your_pin": "0000"}, 403, "your_pin is not your PIN"),
        (ADA, {"reason": " "}, 400, "reason has 0 characters"),
        (ADA, {"reason": "x" * 401}, 400, "reason has 401 characters"),
        (ADA, {"level": "master"}, 400, "level=&#39;master&#39; must be one of supervised, alone"),
        (ADA, {"calibration": "vehicle-ready"}, 400, "is no calibration here"),
        (ADA, {"calibration": "moon-lamp"}, 400, "is no calibration here"),
    ],
)
def test_what_is_not_signed_or_cannot_be_changes_nothing(
    client: FlaskClient, demo_engine: Engine, who: Someone, changed: dict[str, str], status: int, says: str
) -> None:
    scan_badge(client, who)
    answer = client.post(PAGE, data=ALONE | changed)
    assert (answer.status_code, says in answer.text) == (status, True)
    assert levels(demo_engine, ILYA) == {}


def test_nobody_says_it_of_themselves(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, TOMAS)
    answer = client.post(f"/people/{TOMAS.badge}/competence", data=ALONE | {"your_pin": TOMAS.pin})
    assert answer.status_code == 403
    assert "nobody says this of themselves" in answer.text
    assert levels(demo_engine, TOMAS) == {}


def test_the_hold_points_of_a_calibration_follow_at_the_next_tap(
    client: FlaskClient, demo_engine: Engine, at: Begin
) -> None:
    job = at("forward-camera-static/square", ILYA, answers={"placing": "tape"})
    assert job.step["hold"] == "apprentice"
    assert client.get(job.url).status_code == 200  # the server has him in mind as he was
    with writing(demo_engine) as db:
        say_level(db, ILYA.badge, CAMERA, "alone", ADA.badge, "2026-03-02T08:00:00.000Z", "Watched on five jobs.")
    job.tap("measure", **readings_inside(job.step["measure"], Random(1)))
    assert job.state.step("forward-camera-static/square").status == "done"


def is_known_as(engine: Engine, someone: Someone, level: str) -> None:
    """What a supervisor has said of somebody at the camera."""
    with writing(engine) as db:
        person = people.person(db, someone.badge)
        person.levels = people.in_order({CAMERA: level})
        db.add(person)


def test_shared_set_up_holds_while_one_of_its_calibrations_is_not_worked_alone(
    client: FlaskClient, demo_engine: Engine, at: Begin
) -> None:
    is_known_as(demo_engine, ILYA, "alone")
    job = at("/chock", ILYA)
    job.tap("confirm")
    assert job.state.step("reference-axis/chock").status == "held"


def test_a_technician_under_supervision_meets_the_apprentices_hold_points(
    client: FlaskClient, demo_engine: Engine, at: Begin
) -> None:
    is_known_as(demo_engine, NOOR, "supervised")
    job = at("/chock", NOOR)
    job.tap("confirm")
    assert job.state.step("reference-axis/chock").status == "held"


def test_five_supervised_jobs_that_passed_propose_it_and_grant_nothing(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings
) -> None:
    scan_badge(client, ADA)
    for number in range(5):
        assert "a supervisor may say alone" not in client.get(PAGE).text
        begin(client, demo_engine, library, shop.photos, person=ILYA, seed=number, ago=timedelta(hours=5 - number))
        with writing(demo_engine) as db:  # each passed the first time, with a countersign in it
            db.connection().execute(update(JobTime).values(first_time_pass=True))
            db.connection().execute(update(StepTime).where(col(StepTime.calibration) == CAMERA).values(waited_s=60.0))
    page = client.get(PAGE).text
    assert "5 supervised jobs passed the first time, 5 are asked for" in page
    assert f'<option value="{CAMERA}" selected>' in page
    assert levels(demo_engine, ILYA) == {}
    scan_badge(client, ADA)
    client.post(PAGE, data=ALONE)
    client.post(PAGE, data=ALONE | {"level": "supervised", "reason": "Begins anew."})
    assert "0 of 5 supervised jobs" in client.get(PAGE).text
