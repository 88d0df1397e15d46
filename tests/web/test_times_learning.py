"""An apprentice's progress is for that person and for supervisors, and has no comparison in it."""

import re

import numpy as np
import pytest
from flask.testing import FlaskClient
from scipy import stats
from sqlalchemy.engine import Engine
from sqlmodel import select

from tests.cast import ADA, ILYA, NOOR, TOMAS, Someone, scan_badge
from webapp.core.procedure import Library
from webapp.core.statistics import FEWEST
from webapp.messages import say
from webapp.storage.engine import session
from webapp.storage.tables import JobTime, StepTime

HIS = f"/times/learning/{ILYA.badge}"


def mine(engine: Engine, person: Someone) -> dict[str, list[JobTime]]:
    with session(engine) as db:
        rows = db.exec(select(JobTime).where(JobTime.person == person.badge).order_by(JobTime.finished_at)).all()
    found: dict[str, list[JobTime]] = {}
    for row in rows:
        found.setdefault(row.calibration, []).append(row)
    return found


def section(page: str, title: str) -> str:
    found = next(one for one in re.findall(r'<section class="learned">.*?</section>', page, re.DOTALL) if title in one)
    return " ".join(re.sub(r"<[^>]*>", " ", found).split())


@pytest.mark.parametrize("person", [None, NOOR, TOMAS])
@pytest.mark.parametrize("address", ["/times/learning", HIS])
def test_nobody_else_sees_it_nor_a_way_to_it(pages: FlaskClient, person: Someone | None, address: str) -> None:
    if person:
        scan_badge(pages, person)
    answer = pages.get(address)
    assert answer.status_code == 403
    assert ILYA.name not in answer.text
    assert "/times/learning" not in pages.get("/times").text


def test_a_supervisor_chooses_whose_by_name_and_an_apprentice_sees_the_own_at_once(pages: FlaskClient) -> None:
    scan_badge(pages, ADA)
    assert HIS in pages.get("/times/learning").text
    assert pages.get(HIS).status_code == 200
    assert "/times/learning" in pages.get("/times").text
    scan_badge(pages, ILYA)
    assert pages.get("/times/learning").headers["Location"] == HIS
    assert pages.get(HIS).status_code == 200


def test_an_apprentice_does_not_see_another_persons(pages: FlaskClient) -> None:
    scan_badge(pages, ILYA)
    assert pages.get(f"/times/learning/{NOOR.badge}").status_code == 403


def test_jobs_countersigns_and_first_times_are_those_of_the_rows(
    busy: FlaskClient, years: Engine, library: Library
) -> None:
    scan_badge(busy, ADA)
    page = busy.get(HIS).text
    with session(years) as db:
        steps = db.exec(select(StepTime)).all()
    for name, rows in mine(years, ILYA).items():
        words = section(page, library.procedures[name].title)
        jobs = {row.job for row in rows}
        signed = {one.job for one in steps if one.calibration == name and one.waited_s > 0 and one.job in jobs}
        tried = [row.first_time_pass for row in rows if row.first_time_pass is not None]
        assert f"{say('times-jobs')} {len(rows)} " in words
        assert f"{say('times-learner-countersigned')} {len(signed)} " in words
        if tried:
            assert f"{sum(tried)} of {len(tried)}" in words


def test_the_curve_is_told_from_eight_jobs_on(busy: FlaskClient, years: Engine, library: Library) -> None:
    scan_badge(busy, ILYA)
    page = busy.get(HIS).text
    told = 0
    for name, rows in mine(years, ILYA).items():
        words = section(page, library.procedures[name].title)
        counted = [(n, r.own_s) for n, r in enumerate(rows, 1) if r.outcome == "done" and not r.estimated]
        if len(counted) < 8:
            assert say("times-learner-few", n=len(counted)) in words
            continue
        nth, seconds = np.log(np.array(counted)).T
        line = stats.linregress(nth, seconds)
        shown = line.slope + stats.t.ppf(0.975, len(counted) - 2) * line.stderr < 0
        assert (f"{100 * (1 - 2**line.slope):.0f} % less" in words) == shown
        told += 1
    assert told
    assert FEWEST < 8


def test_no_other_person_and_no_rank_stands_on_the_page(busy: FlaskClient) -> None:
    scan_badge(busy, ADA)
    page = busy.get(HIS).text.split("<main", 1)[1]
    assert NOOR.name not in page
    assert not re.search(r"\brank|\bfaster than|\bslower than", page)


def test_a_badge_of_nobody_is_not_found(pages: FlaskClient) -> None:
    scan_badge(pages, ADA)
    answer = pages.get("/times/learning/NOBODY")
    assert answer.status_code == 404
    assert "code=&#39;NOBODY&#39; is nobody&#39;s badge here" in answer.text
