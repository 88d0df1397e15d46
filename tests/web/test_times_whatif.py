"""What if: the form begins with the shop as it is, plays a day from its own times, and refuses what cannot be meant."""

import re

import pytest
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine
from sqlmodel import select

from tests.web.charts import charts_of
from webapp.messages import say
from webapp.storage.engine import session
from webapp.storage.figures import figures
from webapp.storage.tables import Item, JobTime

PLAN = {"bays": "2", "technicians": "2", "stands": "1", "arrivals": "7", "hours": "9", "way": "random"}


def value_of(page: str, name: str) -> str:
    found = re.search(rf'<input id="{name}"[^>]*value="([^"]*)"', page)
    assert found, name
    return found[1]


def test_the_form_begins_with_the_shop_as_it_is(pages: FlaskClient, history_engine: Engine) -> None:
    page = pages.get("/times/what-if").text
    with session(history_engine) as db:
        bays = len(db.exec(select(Item).where(Item.kind == "bay")).all())
    assert value_of(page, "bays") == str(bays)
    assert value_of(page, "technicians") == "2"
    assert 1 <= float(value_of(page, "arrivals")) < 10
    assert 'id="outcome"' not in page


def test_a_day_is_played_from_the_shops_own_times(pages: FlaskClient) -> None:
    answer = pages.get("/times/what-if", query_string=PLAN)
    assert answer.status_code == 200
    text = " ".join(re.sub(r"<[^>]*>", " ", answer.text).split())
    told = re.search(r"([\d.]+) of ([\d.]+) vehicles that come are finished", text)
    assert told, text
    assert 0 < float(told[1]) < float(told[2])
    assert 6 < float(told[2]) < 8
    assert "with one more" in text
    spans = [one.told for one in charts_of(answer.text)]
    assert len(spans) == 4
    assert f"{spans[0]['mean']:.1f} vehicles that come" in text
    assert {one["top"] for one in spans} == {max(one["most"][1] for one in spans)}
    for one in spans:
        assert one["sure"][0] <= one["mean"] <= one["sure"][1]
        assert 0 <= one["most"][0] <= one["most"][1]


def test_what_a_finished_job_took_is_drawn_whole(pages: FlaskClient, history_engine: Engine) -> None:
    with session(history_engine) as db:
        known, rows = figures(db).recent(1000), db.exec(select(JobTime)).all()
    sure = {row.job for row in rows} - {row.job for row in rows if row.estimated}
    by_job = {job: [row for row in rows if row.job == job] for job in sure}
    expected = sorted(sum(row.own_s + row.shared_s + row.waited_s for row in some) for some in by_job.values())
    assert sorted(one.shared_s + sum(s for _, s in one.own_s) for one in known) == pytest.approx(expected)
    pauses = [sum(s for why, s in some[0].pauses_s.items() if why != "finishing") for some in by_job.values()]
    assert sorted(one.pauses_s for one in known) == pytest.approx(sorted(pauses), abs=0.01)


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("bays", "0", "bays=&#39;0&#39; must be a whole number from 1 to 20"),
        ("bays", "two", "bays=&#39;two&#39; must be a whole number from 1 to 20"),
        ("technicians", "2.5", "technicians=&#39;2.5&#39; must be a whole number from 1 to 40"),
        ("stands", "-1", "stands=&#39;-1&#39; must be a whole number from 1 to 20"),
        ("arrivals", "nan", "arrivals=&#39;nan&#39; must be a number from 1 to 60"),
        ("arrivals", "1e9", "arrivals=&#39;1e9&#39; must be a number from 1 to 60"),
        ("hours", "", "hours=&#39;&#39; must be a number from 1 to 24"),
        ("way", "never", "way=&#39;never&#39; is not known; expected one of random, booked"),
        ("mix-forward-camera-static", "11", "mix-forward-camera-static=&#39;11&#39; must be a number from 0 to 10"),
    ],
)
def test_what_cannot_be_meant_is_refused_at_its_field_and_the_rest_stays(
    pages: FlaskClient, field: str, value: str, message: str
) -> None:
    answer = pages.get("/times/what-if", query_string=PLAN | {field: value})
    assert answer.status_code == 400
    assert message in answer.text
    assert f'id="{field}-refused"' in answer.text
    assert value_of(answer.text, "arrivals" if field != "arrivals" else "hours") == (
        "7" if field != "arrivals" else "9"
    )


def test_a_shop_with_too_few_jobs_is_told_how_many_it_takes(client: FlaskClient) -> None:
    answer = client.get("/times/what-if", query_string=PLAN)
    assert answer.status_code == 400
    assert "jobs=0 with this mix are too few to draw from; it takes 20" in answer.text


def test_a_comma_is_a_decimal_sign_too(pages: FlaskClient) -> None:
    assert pages.get("/times/what-if", query_string=PLAN | {"arrivals": "6,5"}).status_code == 200
    assert say("times-whatif-title") in pages.get("/times/what-if").text
