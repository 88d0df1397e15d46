"""Now: how far each job in progress has come, when it will be done, and which runs much slower than expected."""

import re
from datetime import datetime, timedelta

import pytest
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from webapp.config import Settings
from webapp.core.procedure import Library
from webapp.messages import say

from .job import AtJob, begin


@pytest.fixture
def bring(pages: FlaskClient, history_engine: Engine, library: Library, shop: Settings) -> "Bring":
    return Bring(pages, history_engine, library, shop)


class Bring:
    """Brings a job to a step at a pace: 1 is what the procedures say."""

    def __init__(self, *about: object) -> None:
        self.about = about

    def __call__(self, until: str | None, pace: float = 0.9, ago: timedelta = timedelta()) -> AtJob:
        client, engine, library, shop = self.about
        return begin(client, engine, library, shop.photos, until, pace=pace, ago=ago)  # type: ignore[arg-type,attr-defined]


def articles(client: FlaskClient) -> list[str]:
    """The words of each job in progress."""
    page = client.get("/times/now").text
    found = re.findall(r"<article.*?</article>", page, re.DOTALL)
    return [" ".join(re.sub(r"<[^>]*>", " ", one).split()) for one in found]


def test_a_shop_without_a_job_in_progress_says_so(pages: FlaskClient) -> None:
    text = pages.get("/times/now").text
    assert say("times-now-none") in text
    assert "0 jobs in progress" in text


def test_a_job_stands_with_its_step_and_when_it_will_be_done(pages: FlaskClient, bring: Bring) -> None:
    job = bring("/hang-boards", ago=timedelta(seconds=30))
    (words,) = articles(pages)
    at = pages.get(job.url).text
    count = re.search(r"Step \d+ of \d+", at)
    assert count
    assert count[0] in words
    assert job.step["do"] in words
    found = re.search(
        r"finish (\d\d:\d\d), between (\d\d:\d\d) and (\d\d:\d\d): (\d+) min of work left, (\d+)–(\d+)", words
    )
    assert found, words
    left, low, high = (int(one) for one in found.groups()[3:])
    assert 0 < low < left < high < 240
    done = datetime.now().astimezone() + timedelta(minutes=left)
    shown = done.replace(hour=int(found[1][:2]), minute=int(found[1][3:]))
    assert abs((shown - done).total_seconds()) <= 120
    assert say("times-now-is-slow") not in words


def test_a_job_much_slower_than_expected_stands_out(pages: FlaskClient, bring: Bring) -> None:
    slow, usual = bring("/hang-boards", pace=3.0), bring("/hang-boards")
    page = pages.get("/times/now").text
    (marked,) = re.findall(r'<article class="running slow">.*?</article>', page, re.DOTALL)
    assert f"/jobs/{slow.id}" in marked
    assert say("times-now-is-slow") in marked
    assert "for what usually takes" in marked
    assert f"/jobs/{usual.id}" in page


def test_a_step_that_takes_far_too_long_is_named(pages: FlaskClient, bring: Bring) -> None:
    bring("/hang-boards", ago=timedelta(minutes=50))
    (words,) = articles(pages)
    assert "at this step for 50 min; usually it takes" in words


def test_a_paused_job_has_no_time_of_day_but_the_work_that_is_left(pages: FlaskClient, bring: Bring) -> None:
    job = bring("/hang-boards")
    job.happened("paused", 20 * 60, reason="parts")
    (words,) = articles(pages)
    assert "Paused since" in words
    assert say("pause-parts") in words
    assert "min of work left" in words
    assert "Expected finish" not in words


def test_of_a_job_that_nothing_was_heard_of_for_long_no_finish_is_told(pages: FlaskClient, bring: Bring) -> None:
    bring("/hang-boards", ago=timedelta(hours=30))
    (words,) = articles(pages)
    assert "Nothing heard of it since" in words
    assert "Expected finish" not in words
    assert say("times-now-is-slow") not in words


def test_a_job_that_is_finished_leaves_at_once_and_is_counted(pages: FlaskClient, bring: Bring) -> None:
    bring(None)
    assert articles(pages) == []
    assert "1 finished today" in pages.get("/times/now").text


def test_a_new_shop_goes_by_the_procedures_and_says_so(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings
) -> None:
    begin(client, demo_engine, library, shop.photos, "/hang-boards")
    (words,) = articles(client)
    assert "with the procedure’s own figure" in words
    assert "Expected finish" in words
