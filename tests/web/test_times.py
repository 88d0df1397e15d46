"""The times pages show the shop's own figures, say how sure they are, and lead to the jobs behind them."""

import csv
import re
from html.parser import HTMLParser
from io import BytesIO, StringIO
from unittest.mock import ANY

import numpy as np
import pytest
from flask.testing import FlaskClient
from pyarrow import parquet
from scipy import stats
from sqlalchemy.engine import Engine
from sqlmodel import select

from tests.cast import ADA, ILYA, NOOR, scan_badge
from tests.web.charts import charts_of
from webapp.core.fold import fold
from webapp.messages import say
from webapp.storage.engine import session, writing
from webapp.storage.journal import events_of
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import Job, JobTime, Person, StepTime
from webapp.storage.time_tables import PackedTime
from webapp.storage.times import write_times
from webapp.web.times.export import JOB_COLUMNS, STEP_COLUMNS
from webapp.web.times.wording import minutes

CAMERA, RADAR, AROUND = "forward-camera-static", "forward-radar-static", "surround-view"
PAGES = (
    "/times",
    "/times/now",
    "/times/week",
    "/times/kit",
    "/times/what-if?bays=2&technicians=2&stands=1&arrivals=6",
    f"/times/{CAMERA}",
    f"/times/{CAMERA}/jobs",
    f"/times/{CAMERA}/steps/{CAMERA}/run",
    f"/times/{CAMERA}/steps/vehicle-ready/walk-round",
)


def steps_tables(found: "Tables") -> list[list[list[str]]]:
    """The tables of where the time goes: own steps, those folded away, and so on."""
    return [table for table in found.tables if table[0][0] == say("times-step") and len(table[0]) == 7]


class Tables(HTMLParser):
    """The words of every cell of a page's tables, row by row, without the drawings; and the page's links."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tables: list[list[list[str]]] = []
        self.links: list[str] = []
        self.in_cell = self.in_drawing = 0
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "table":
            self.tables.append([])
        elif tag == "tr":
            self.tables[-1].append([])
        elif tag in ("td", "th"):
            self.tables[-1][-1].append("")
            self.in_cell += 1
        elif tag == "a":
            self.links.append(dict(attrs).get("href") or "")
        self.in_drawing += tag == "svg"

    def handle_endtag(self, tag: str) -> None:
        self.in_cell -= tag in ("td", "th")
        self.in_drawing -= tag == "svg"

    def handle_data(self, data: str) -> None:
        if self.in_cell and not self.in_drawing:
            self.tables[-1][-1][-1] = " ".join(f"{self.tables[-1][-1][-1]} {data}".split())


def read(client: FlaskClient, address: str) -> Tables:
    answer = client.get(address)
    assert answer.status_code == 200, answer.text
    return Tables(answer.text)


def times(engine: Engine, calibration: str) -> list[JobTime]:
    with session(engine) as db:
        rows = select(JobTime).where(JobTime.calibration == calibration).order_by(JobTime.finished_at)
        return list(db.exec(rows).all())


def left_out(engine: Engine) -> tuple[str, list[JobTime]]:
    """A calibration of which a job's time was estimated, and those of its jobs that do not count."""
    with session(engine) as db:
        name = db.exec(select(JobTime.calibration).where(JobTime.estimated).order_by(JobTime.calibration)).first()
    assert name
    rows = times(engine, name)
    return name, [row for row in rows if row not in counted(rows)]


def counted(rows: list[JobTime]) -> list[JobTime]:
    return [row for row in rows if row.outcome == "done" and not row.estimated]


def quantiles(seconds: list[float], p: float) -> str:
    """What a cell must say: the quantile and its interval, worked out by numpy and scipy."""
    interval = stats.quantile_test(seconds, q=1, p=p).confidence_interval(confidence_level=0.95)
    return f"{minutes(float(np.quantile(seconds, p)))} {minutes(interval.low)}–{minutes(interval.high)}"


def test_each_type_stands_with_the_figures_of_its_jobs(pages: FlaskClient, history_engine: Engine) -> None:
    (table,) = read(pages, "/times").tables[:1]
    shown = {row[0]: row[2:] for row in table[1:]}
    titles = {"Forward camera, static target": CAMERA, "Forward radar, reflector plate": RADAR}
    for title, name in titles.items():
        rows = times(history_engine, name)
        sure = counted(rows)
        tried = [row.first_time_pass for row in rows if row.first_time_pass is not None]
        rate = stats.binomtest(sum(tried), len(tried)).proportion_ci(method="wilson")
        whole = [row.own_s + row.shared_s for row in sure]
        left_out = len(rows) - len(sure)
        assert shown[title] == [
            f"{len(rows)} {left_out} left out" if left_out else str(len(rows)),
            quantiles(whole, 0.5),
            quantiles(whole, 0.8),
            f"{100 * sum(row.shared_s for row in sure) / sum(whole):.0f} %",
            f"{sum(tried)} of {len(tried)} {100 * rate.low:.0f}–{100 * rate.high:.0f} %",
        ]


def test_with_four_jobs_there_are_the_dots_and_no_statistics(pages: FlaskClient, history_engine: Engine) -> None:
    rows = times(history_engine, CAMERA)
    four = counted(rows)[-4:]
    with writing(history_engine) as db:
        for row in db.exec(select(PackedTime)).all():
            if row.job not in {one.job for one in four}:
                db.delete(row)
    page = pages.get("/times")
    (table,) = Tables(page.text).tables[:1]
    row = next(one for one in table if one[0].startswith("Forward camera, static target"))
    assert row[2:4] == ["4", say("times-too-few", n=4)]
    assert "%" not in row[-1]
    strip = next(one for one in charts_of(page.text) if one.label.startswith("Forward camera, static target: 4 jobs"))
    assert strip.kind == "strip"
    assert len(strip.told["marks"]) == 4


def test_an_empty_shop_says_that_no_job_has_been_finished(client: FlaskClient) -> None:
    assert say("times-none-yet") in client.get("/times").text
    assert say("times-none-yet") in client.get(f"/times/{CAMERA}").text


def test_where_the_time_goes_is_told_step_by_step_what_takes_most_first(
    pages: FlaskClient, history_engine: Engine
) -> None:
    found = read(pages, f"/times/{CAMERA}")
    own = [row for table in steps_tables(found)[:2] for row in table[1:]]
    with session(history_engine) as db:
        rows = db.exec(select(StepTime).where(StepTime.calibration == CAMERA)).all()
    estimated = {row.job for row in times(history_engine, CAMERA) if row.estimated}
    took: dict[str, list[float]] = {}
    for row in rows:
        if row.job not in estimated:
            took.setdefault(row.step, []).append(row.seconds)
    ordered = sorted(took.values(), key=lambda seconds: -sum(seconds))
    medians = [minutes(float(np.median(seconds))) if len(seconds) >= 5 else "–" for seconds in ordered]
    assert [row[2] for row in own] == medians
    assert [int(row[6]) for row in own] == [len(seconds) for seconds in ordered]
    assert own[-1][5] == "100 %"


def test_a_shared_step_counts_with_this_calibrations_share(pages: FlaskClient, history_engine: Engine) -> None:
    found = read(pages, f"/times/{AROUND}")
    shown = {row[0]: row[2] for table in found.tables[1:] for row in table[1:] if len(row) == 7}
    with session(history_engine) as db:
        rows = db.exec(select(StepTime).where(StepTime.step == "vehicle-ready/walk-round")).all()
    title = next(one for one in shown if one.startswith(str(_do("vehicle-ready", "walk-round", pages))))
    shares = [row.seconds / len(row.serves) for row in rows if AROUND in row.serves and not row.estimated]
    assert shown[title] == minutes(float(np.median(shares)))


def _do(section: str, step: str, client: FlaskClient) -> str:
    library = client.application.extensions["library"]
    return next(one.do for one in library.procedures[section].steps if one.id == step)


def test_pauses_and_waits_are_shown_apart(pages: FlaskClient, history_engine: Engine) -> None:
    text = pages.get(f"/times/{CAMERA}").text
    assert say("times-waits-caption") in text
    assert say("times-pauses-caption") in text
    paused = [row for row in times(history_engine, CAMERA) if row.pauses_s.get("break")]
    table = next(one for one in Tables(text).tables if one[0][0] == say("times-pause"))
    assert [row[6] for row in table if row[0] == say("pause-break")] == [str(len(paused))]


def test_the_jobs_behind_a_number_are_one_tap_away_and_lead_to_their_records(
    pages: FlaskClient, history_engine: Engine
) -> None:
    rows, (name, out) = times(history_engine, CAMERA), left_out(history_engine)
    with session(history_engine) as db:
        (run_again, *_) = db.exec(select(JobTime.calibration).where(JobTime.first_time_pass == False)).all()  # noqa: E712
    addresses = {
        f"/times/{CAMERA}/jobs": rows,
        f"/times/{run_again}/jobs?only=again": [
            row for row in times(history_engine, run_again) if row.first_time_pass is False
        ],
        f"/times/{name}/jobs?only=left-out": out,
    }
    assert set(addresses) <= set(read(pages, "/times").links)
    for address, meant in addresses.items():
        found = read(pages, address)
        records = [link for link in found.links if link.endswith("/record")]
        assert records == [f"/jobs/{row.job}/record" for row in reversed(meant)]
        assert len(meant) == len(found.tables[0]) - 1 > 0
    assert pages.get(f"/jobs/{rows[0].job}/record").status_code == 200


def test_estimated_times_are_shown_and_named(pages: FlaskClient, history_engine: Engine) -> None:
    name, out = left_out(history_engine)
    estimated = [row for row in out if row.estimated]
    assert estimated
    listed = read(pages, f"/times/{name}/jobs?only=left-out").tables[0][1:]
    assert sum("estimated" in row[-1] for row in listed) == len(estimated)
    drawn = [one for one in times(history_engine, name) if one.outcome == "done" and one.estimated]
    run = next(one for one in charts_of(pages.get(f"/times/{name}").text) if one.kind == "run")
    assert sum(mark["mark"] == "estimated" for mark in run.told["marks"]) == len(drawn) > 0


def test_one_step_lists_its_jobs_the_longest_first(pages: FlaskClient, history_engine: Engine) -> None:
    found = read(pages, f"/times/{CAMERA}/steps/{CAMERA}/run").tables[0][1:]
    with session(history_engine) as db:
        rows = db.exec(select(StepTime).where(StepTime.step == f"{CAMERA}/run")).all()
        orders = {job.id: job.repair_order for job in db.exec(select(Job)).all()}
    longest = sorted(rows, key=lambda row: -row.seconds)
    assert [row[0] for row in found] == [orders[row.job] for row in longest]
    assert [row[2] for row in found] == [minutes(row.seconds) for row in longest]


def test_filters_narrow_every_figure_and_stay_in_every_link_and_file(
    pages: FlaskClient, history_engine: Engine
) -> None:
    vehicle = times(history_engine, CAMERA)[0].vehicle
    meant = [row for row in times(history_engine, CAMERA) if row.vehicle == vehicle]
    found = read(pages, f"/times?vehicle={vehicle}")
    row = next(one for one in found.tables[0] if one[0].startswith("Forward camera, static target"))
    assert row[2].split()[0] == str(len(meant))
    others = {"/times", *(link for link in read(pages, "/times/now").links if link.startswith("/times/"))}
    inside = [link for link in found.links if link.startswith("/times") and link not in others]
    assert inside
    assert all(f"vehicle={vehicle}" in link for link in inside)
    listed = csv.DictReader(StringIO(pages.get(f"/times/jobs.csv?vehicle={vehicle}&calibration={CAMERA}").text))
    assert [line["job"] for line in listed] == [row.job for row in meant]
    page = pages.get(f"/times?vehicle={vehicle}").text
    assert f'<option value="{vehicle}" selected>' in page
    assert say("times-all-jobs") in page


def test_days_are_included_at_both_ends(pages: FlaskClient, history_engine: Engine) -> None:
    days = sorted({row.finished_at[:10] for row in times(history_engine, CAMERA)})
    found = read(pages, f"/times/{CAMERA}/jobs?since={days[2]}&until={days[4]}").tables[0][1:]
    assert len(found) == sum(days[2] <= row.finished_at[:10] <= days[4] for row in times(history_engine, CAMERA))


def test_what_nothing_is_like_is_said_and_not_an_error(pages: FlaskClient) -> None:
    assert say("times-none-like-this") in pages.get("/times?vehicle=none-such").text


@pytest.mark.parametrize(
    ("address", "status", "message"),
    [
        ("/times?since=yesterday", 400, "since=&#39;yesterday&#39; is no day; write it like 2025-03-31"),
        ("/times?until=2026-02-30", 400, "until=&#39;2026-02-30&#39; is no day"),
        ("/times?since=2026-03-02&until=2026-03-01", 400, "since=2026-03-02 lies after until=2026-03-01"),
        ("/times/jobs.csv?revision=two", 400, "revision=&#39;two&#39; must be a whole number from 1"),
        (f"/times/{CAMERA}/jobs?only=best", 400, "only=&#39;best&#39; is not known; expected one of again, left-out"),
        ("/times/none-such", 404, "calibration=&#39;none-such&#39; is not known"),
        (f"/times/{CAMERA}/steps/{CAMERA}/none-such", 404, "has no times in these jobs"),
        ("/times/steps.csv?since=x" + "9" * 3000, 400, "(3001 characters)"),
    ],
)
def test_an_address_that_cannot_be_meant_is_refused_by_field_and_value(
    pages: FlaskClient, address: str, status: int, message: str
) -> None:
    answer = pages.get(address)
    assert answer.status_code == status
    assert message in answer.text


def test_the_file_of_jobs_has_the_rows_and_the_columns_that_are_documented(
    pages: FlaskClient, history_engine: Engine
) -> None:
    answer = pages.get("/times/jobs.csv")
    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8"
    assert "baybook-jobs.csv" in answer.headers["Content-Disposition"]
    lines = list(csv.DictReader(StringIO(answer.text)))
    assert tuple(lines[0]) == JOB_COLUMNS
    with session(history_engine) as db:
        rows = {(row.job, row.calibration): row for row in db.exec(select(JobTime)).all()}
    assert len(lines) == len(rows)
    for line in lines:
        row = rows[(line["job"], line["calibration"])]
        assert float(line["own_s"]) == pytest.approx(row.own_s, abs=5e-4)
        assert float(line["pause_parts_s"]) == pytest.approx(row.pauses_s.get("parts", 0), abs=5e-4)
        assert line["first_time"] == {True: "yes", False: "no", None: ""}[row.first_time_pass]
        assert line["estimated"] == ("yes" if row.estimated else "no")


def test_the_file_of_steps_adds_up_to_the_file_of_jobs(pages: FlaskClient) -> None:
    steps = list(csv.DictReader(StringIO(pages.get("/times/steps.csv").text)))
    jobs = list(csv.DictReader(StringIO(pages.get("/times/jobs.csv").text)))
    assert tuple(steps[0]) == STEP_COLUMNS
    for job in {line["job"] for line in jobs}:
        worked = sum(float(line["worked_s"]) for line in steps if line["job"] == job)
        told = sum(float(line["own_s"]) + float(line["shared_s"]) for line in jobs if line["job"] == job)
        assert told == pytest.approx(worked, abs=0.05)


@pytest.mark.parametrize("what", ["jobs", "steps"])
def test_the_parquet_file_has_the_rows_of_the_csv_file_and_says_what_its_columns_mean(
    pages: FlaskClient, what: str
) -> None:
    with pages.get(f"/times/{what}.parquet?calibration={CAMERA}") as answer:
        found = parquet.read_table(BytesIO(answer.data))
    lines = list(csv.DictReader(StringIO(pages.get(f"/times/{what}.csv?calibration={CAMERA}").text)))
    assert found.column_names == list(lines[0])
    assert found.num_rows == len(lines)
    assert found["job"].to_pylist() == [line["job"] for line in lines]
    assert found["revision"].to_pylist() == [int(line["revision"]) for line in lines]
    assert found["waited_s"].to_pylist() == pytest.approx([float(line["waited_s"]) for line in lines], abs=5e-4)
    for field in found.schema:
        assert field.metadata[b"description"].decode() == say(f"times-column-{field.name.replace('_', '-')}")


def test_every_column_of_the_files_is_explained_on_the_page(pages: FlaskClient) -> None:
    text = pages.get("/times").text
    for column in {*JOB_COLUMNS, *STEP_COLUMNS}:
        assert f"<code>{column}</code>" in text
        assert say(f"times-column-{column.replace('_', '-')}")


def test_no_person_and_no_vin_is_in_the_pages_or_the_files(pages: FlaskClient, history_engine: Engine) -> None:
    with session(history_engine) as db:
        people = [word for one in db.exec(select(Person)).all() for word in (one.code, one.name)]
        vins = [job.vin for job in db.exec(select(Job)).all()]
    for address in (*PAGES, "/times/jobs.csv", "/times/steps.csv"):
        text = pages.get(address).text
        assert not [word for word in people + vins if word in text], address


def test_a_repair_order_that_looks_like_a_formula_is_no_formula(pages: FlaskClient, history_engine: Engine) -> None:
    with writing(history_engine) as db:
        job = db.exec(select(Job).where(Job.id == times(history_engine, CAMERA)[0].job)).one()
        job.repair_order = '=HYPERLINK("x";"y")'
        db.add(job)
    lines = csv.DictReader(StringIO(pages.get("/times/jobs.csv").text))
    assert {line["repair_order"] for line in lines if line["job"] == job.id} == {'\'=HYPERLINK("x";"y")'}


@pytest.mark.parametrize("address", PAGES)
def test_charts_come_as_figures_and_words_and_neither_script_nor_style_stands_in_the_page(
    pages: FlaskClient, address: str
) -> None:
    text = pages.get(address).text
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)
    assert "style=" not in text
    assert "<style" not in text
    assert "<svg" not in text
    drawn = charts_of(text)
    assert bool(drawn) is (address in ("/times", "/times/kit", f"/times/{CAMERA}") or "what-if" in address)
    assert ("/static/app/charts/charts.js" in text) is bool(drawn)
    assert all(one.role in ("img", "group") and one.label and one.told for one in drawn)


def test_what_was_done_again_and_why_is_told(pages: FlaskClient, history_engine: Engine) -> None:
    with session(history_engine) as db:
        rows = db.exec(select(StepTime)).all()
    own = next(row for row in rows if row.causes and row.calibration)
    text = pages.get(f"/times/{own.calibration}").text
    table = next(one for one in Tables(text).tables if one[0][0] == say("times-cause"))
    told = [cause for row in rows if row.calibration == own.calibration for cause in row.causes]
    assert {row[0]: int(row[1]) for row in table[1:]} == {cause: told.count(cause) for cause in told}
    redone = [row for row in rows if row.attempts > 1 and own.calibration in row.serves]
    again = next((one for one in Tables(text).tables if say("times-begun-again") in one[0]), [[]])
    assert sum(int(row[1]) for row in again[1:] if row[1] != "–") == len(redone)


def test_a_day_divides_the_jobs_and_no_difference_is_told_as_such(pages: FlaskClient, history_engine: Engine) -> None:
    rows = counted(times(history_engine, CAMERA))
    day = rows[len(rows) // 2].finished_at[:10]
    before, after = ([row.own_s for row in rows if (row.finished_at[:10] < day) is side] for side in (True, False))
    text = pages.get(f"/times/{CAMERA}?compare={day}").text
    shift = float(np.median(np.subtract.outer(after, before)))
    none = stats.mannwhitneyu(before, after, method="exact").pvalue > 0.05
    assert ("no difference shown" in text) is bool(none)
    assert none or f"{minutes(abs(shift))} min" in text
    sides = next(table for table in Tables(text).tables if table[-1][0].startswith("From"))
    for cells, own_s in zip(sides[1:], (before, after), strict=True):
        assert [*cells[2:]] == [quantiles(own_s, 0.5), ANY, str(len(own_s))]
        assert cells[3].startswith(minutes(float(np.quantile(own_s, 0.8))))
    widest = max(float(np.quantile(own_s, 0.8)) for own_s in (before, after))
    drawn = [one.told for one in charts_of(text) if one.kind == "bar"][:2]
    assert [one["median"] for one in drawn] == [round(float(np.median(own_s)) / 60, 3) for own_s in (before, after)]
    assert {one["top"] for one in drawn} == {round(widest / 60, 3)}
    assert say("times-effect-few-day") in pages.get(f"/times/{CAMERA}?compare={rows[-1].finished_at[:10]}").text


def test_one_persons_jobs_are_for_that_person_and_for_who_answers_for_the_work(
    pages: FlaskClient, history_engine: Engine
) -> None:
    assert pages.get(f"/times?person={NOOR.badge}").status_code == 403
    scan_badge(pages, NOOR)
    assert pages.get(f"/times?person={NOOR.badge}").status_code == 200
    assert pages.get(f"/times?person={ILYA.badge}").status_code == 403
    scan_badge(pages, ADA)
    found = read(pages, f"/times/{CAMERA}/jobs?person={ILYA.badge}")
    with session(history_engine) as db:
        of_ilya = db.exec(select(JobTime).where(JobTime.calibration == CAMERA, JobTime.person == ILYA.badge)).all()
    assert len(found.tables[0]) - 1 == len(of_ilya) > 0


def test_a_finished_job_changes_the_overview_at_the_next_look(pages: FlaskClient, history_engine: Engine) -> None:
    before = len(times(history_engine, CAMERA))
    assert f"<b>{before}</b>" in pages.get(f"/times/{CAMERA}").text
    with writing(history_engine) as db:
        row = db.exec(select(JobTime).where(JobTime.calibration == CAMERA)).first()
        assert row
        job = db.get_one(Job, row.job)
        copy = Job(**(job.model_dump() | {"id": "J-new"}))
        db.add(copy)
        db.flush()
        sheet = read_sheet(db, job.sheet or "")
        write_times(db, copy, sheet, fold(sheet, [event for _, event in events_of(db, job.id)]))
    assert f"<b>{before + 1}</b>" in pages.get(f"/times/{CAMERA}").text
