"""The week's sheet: its figures are those of the week's jobs, and it is one sheet of paper, in every language."""

from datetime import datetime
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from flask.testing import FlaskClient
from pypdf import PdfReader
from scipy import stats
from sqlalchemy.engine import Engine
from sqlmodel import col, select

from webapp.core.procedure import Library
from webapp.messages import say
from webapp.paths import STATIC
from webapp.storage.engine import session
from webapp.storage.tables import JobTime
from webapp.web.paper import pdf_of
from webapp.web.times.wording import minutes

from .test_times import Tables, read

WEEK = "2026-W09"
BEGINS, ENDS = "2026-02-23", "2026-03-02"


def rows_between(engine: Engine, begin: str, end: str) -> list[JobTime]:
    with session(engine) as db:
        meant = col(JobTime.finished_at) >= begin, col(JobTime.finished_at) < end
        return list(db.exec(select(JobTime).where(*meant).order_by(JobTime.finished_at)).all())


def counted(rows: list[JobTime], name: str) -> list[float]:
    return [r.own_s + r.shared_s for r in rows if r.calibration == name and r.outcome == "done" and not r.estimated]


def test_each_calibration_of_the_week_stands_against_the_weeks_before(
    busy: FlaskClient, years: Engine, library: Library
) -> None:
    this, before = rows_between(years, BEGINS, ENDS), rows_between(years, "2025-12-01", BEGINS)
    (table,) = read(busy, f"/times/week?week={WEEK}").tables
    shown = {row[0]: row[1:] for row in table[1:]}
    names = {row.calibration for row in this}
    assert len(names) > 3
    assert set(shown) == {library.procedures[name].title for name in names}
    for name in names:
        now, then = counted(this, name), counted(before, name)
        cells = shown[library.procedures[name].title]
        assert cells[0].split()[0] == str(sum(row.calibration == name for row in this))
        assert cells[1] == (minutes(float(np.median(now))) if len(now) >= 5 else "–")
        assert cells[2].split()[0] == (minutes(float(np.median(then))) if len(then) >= 5 else "–")
        if min(len(now), len(then)) < 5:
            assert cells[3] == say("times-week-too-few")
        elif cells[3] == say("times-week-no-difference"):
            assert stats.mannwhitneyu(now, then).pvalue > 0.04
        else:
            assert stats.mannwhitneyu(now, then).pvalue < 0.06


def test_the_jobs_of_the_week_are_counted_once_each(busy: FlaskClient, years: Engine) -> None:
    page = busy.get(f"/times/week?week={WEEK}").text
    jobs = {row.job for row in rows_between(years, BEGINS, ENDS)}
    last = {row.job for row in rows_between(years, "2026-02-16", BEGINS)}
    assert f"<b>{len(jobs)}</b>" in page
    assert say("times-week-last", n=len(last)) in page


def test_a_job_that_took_far_longer_than_usual_is_named_with_its_record(
    busy: FlaskClient, years: Engine, library: Library
) -> None:
    page = busy.get(f"/times/week?week={WEEK}").text
    before = rows_between(years, "2025-12-01", BEGINS)
    for row in rows_between(years, BEGINS, ENDS):
        own = [r.own_s for r in before if r.calibration == row.calibration and r.outcome == "done" and not r.estimated]
        if len(own) >= 12 and row.outcome == "done" and not row.estimated:
            limit = np.mean(own) + 2.66 * np.mean(np.abs(np.diff(own)))
            name = library.procedures[row.calibration].title
            told = say("times-week-odd-job", name=name, minutes=f"{row.own_s / 60:.0f}", most=f"{limit / 60:.0f}")
            assert (told in page) == (row.own_s > limit)


def test_without_a_week_the_one_of_the_last_job_is_shown_and_others_are_one_tap_away(busy: FlaskClient) -> None:
    found = read(busy, "/times/week")
    assert "Week 10" in busy.get("/times/week").text
    assert {"/times/week?week=2026-W09", "/times/week?week=2026-W11"} <= set(found.links)


@pytest.mark.parametrize("given", ["2026-10", "2026-W60", "next", "2026-W1", "2026-W10-3"])
def test_what_is_no_week_is_refused_by_its_value(pages: FlaskClient, given: str) -> None:
    answer = pages.get(f"/times/week?week={given}")
    assert answer.status_code == 400
    assert f"week=&#39;{given}&#39; is no week; write it like 2026-W10" in answer.text


def test_a_week_without_jobs_says_so(pages: FlaskClient) -> None:
    assert say("times-week-none") in pages.get("/times/week?week=2001-W05").text


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_busiest_week_prints_on_one_sheet(busy: FlaskClient, years: Engine, tmp_path: Path, language: str) -> None:
    with session(years) as db:
        days = [row[:10] for row in db.exec(select(JobTime.finished_at)).all()]
    weeks = [datetime.fromisoformat(day).strftime("%G-W%V") for day in days]
    most = max(set(weeks), key=weeks.count)
    page = busy.get(f"/times/week?week={most}", headers={"Accept-Language": language}).text
    assert len(Tables(page).tables[0]) > 6
    style = tmp_path / "whole.css"
    sheets = [(STATIC / "css" / name).read_text("utf-8") for name in ("baybook.css", "times.css", "week.css")]
    style.write_text("\n".join(sheets).replace("../vendor", (STATIC / "vendor").as_uri()), "utf-8")
    pdf = pdf_of(page.replace('<link rel="stylesheet"', '<link rel="none"'), style, str(STATIC))
    assert len(PdfReader(BytesIO(pdf)).pages) == 1
