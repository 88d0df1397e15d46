"""Kit and bays: what the journals say of labels, targets and waits, and bays by the same calibrations."""

import json
import re
from datetime import datetime, timedelta

import numpy as np
from flask.testing import FlaskClient
from scipy import stats
from sqlalchemy.engine import Engine
from sqlmodel import col, select

from webapp.messages import say
from webapp.storage.engine import session
from webapp.storage.tables import EventRow, Item, Job, JobTime
from webapp.web.times.wording import day_words, minutes

from .test_times import Tables, read

ALL = "/times/kit?since=2020-01-01"


def table(found: Tables, head: str) -> list[list[str]]:
    return next(one for one in found.tables if head in one[0])[1:]


def scans(engine: Engine) -> list[dict[str, str]]:
    with session(engine) as db:
        rows = db.exec(select(EventRow.data).where(EventRow.kind == "scanned")).all()
    return [json.loads(data) for data in rows]


def test_each_label_stands_with_its_wrong_scans_and_all_of_them(pages: FlaskClient, history_engine: Engine) -> None:
    made = scans(history_engine)
    wrong = [one for one in made if one["verdict"] not in ("match", "already-placed")]
    assert wrong
    page = pages.get(ALL).text
    assert say("times-kit-scans", wrong=len(wrong), n=len(made)) in page
    shown = {row[0].split()[-1]: row[1:3] for row in table(Tables(page), say("times-kit-wrong"))}
    for code, cells in shown.items():
        assert cells == [str(sum(f".{code}." in one["text"] for one in some)) for some in (wrong, made)]
    assert sum(int(cells[0]) for cells in shown.values()) == len(wrong)


def test_a_target_stands_with_how_long_it_takes_to_its_spot(pages: FlaskClient, history_engine: Engine) -> None:
    with session(history_engine) as db:
        (item,) = db.exec(select(Item).where(Item.is_ == "camera-board-left", ~col(Item.name).contains("spare"))).all()
        rows = db.exec(
            select(EventRow).where(EventRow.kind == "scanned").order_by(EventRow.job, EventRow.server_seq)
        ).all()
    took, since = [], None
    for row in rows:
        data = json.loads(row.data)
        if data.get("placed"):
            hung = data["placed"]["target"] == item.code and data["placed"]["spot"] not in (None, item.home)
            if hung and since and (since.job, since.boot) == (row.job, row.boot):
                took.append(row.mono_s - since.mono_s)
            since = None
        elif data["holding"] == item.code and since is None:
            since = row
        elif data["holding"] != item.code:
            since = None
    shown = next(row for row in table(read(pages, ALL), say("times-kit-target")) if row[0] == item.name)
    assert (shown[2], int(shown[6])) == (minutes(float(np.median(took))), len(took))


def test_jobs_that_waited_for_equipment_are_counted(busy: FlaskClient, years: Engine) -> None:
    with session(years) as db:
        rows = db.exec(select(JobTime)).all()
    waited = {row.job for row in rows if row.pauses_s.get("equipment")}
    assert len(waited) > 3
    page = busy.get(ALL).text
    assert say("times-kit-waiting", n=len(waited)) in page
    bays = table(Tables(page), say("times-kit-against"))
    assert sum(int(row[4]) for row in bays if row[4] != "–") == len(waited)


def test_bays_are_compared_by_the_same_calibrations(busy: FlaskClient, years: Engine) -> None:
    with session(years) as db:
        bays = sorted(db.exec(select(Item).where(Item.kind == "bay")).all(), key=lambda one: one.name)
        rows = db.exec(select(JobTime).where(JobTime.outcome == "done", ~col(JobTime.estimated))).all()
        jobs = {bay.code: len(db.exec(select(Job).where(Job.bay == bay.code)).all()) for bay in bays}
    medians: dict[str, list[float]] = {}
    for row in rows:
        medians.setdefault(row.calibration, []).append(row.own_s + row.shared_s)
    ratio = {bay.code: [] for bay in bays}
    for row in rows:
        ratio[row.bay].append(np.log((row.own_s + row.shared_s) / np.median(medians[row.calibration])))
    shown = {row[0]: row for row in table(read(busy, ALL), say("times-kit-against"))}
    assert list(shown) == [bay.name for bay in bays]
    assert len(bays) > 2
    for bay in bays:
        others = np.concatenate([ratio[other.code] for other in bays if other is not bay])
        moved = np.median(np.subtract.outer(np.array(ratio[bay.code]), others))
        told = re.match(r"([+−]\d+) %", shown[bay.name][2])
        if told:
            assert int(told[1].replace("−", "-")) == round(100 * (np.exp(moved) - 1))
        else:
            assert stats.mannwhitneyu(ratio[bay.code], others).pvalue > 0.04
        assert int(shown[bay.name][1]) == jobs[bay.code]


def test_without_days_the_last_weeks_are_told(pages: FlaskClient, history_engine: Engine) -> None:
    with session(history_engine) as db:
        last = datetime.fromisoformat(max(db.exec(select(JobTime.finished_at)).all())).astimezone().date()
    words = " ".join(re.sub(r"<[^>]*>", " ", pages.get("/times/kit").text).split())
    assert f"from {day_words(last - timedelta(days=27))} to {day_words(last)}" in words


def test_an_empty_shop_says_so(client: FlaskClient) -> None:
    page = client.get("/times/kit").text
    assert say("times-none-yet") in page
    assert say("times-kit-targets-none") in page
