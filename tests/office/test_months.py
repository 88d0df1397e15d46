"""What jobs took at all shops, added up, against the rows that arrived."""

from datetime import date
from random import Random

import numpy as np
import pytest
from flask.testing import FlaskClient
from sqlalchemy import text

from tests.cast import ADA, TOMAS, scan_badge
from tests.web.markup import Page
from webapp.core.procedure import Library
from webapp.core.statistics import summary
from webapp.storage.office import across, door, months, shops
from webapp.storage.office.across import Asked, Type

from .conftest import Office, Shop
from .simulated import Pattern, Simulated

CLOSE = 0.0101


def add_up(office: Office) -> int:
    with door.of_everything(office.engine) as db:
        return months.add_up(db)


def found(office: Office, asked: Asked, regions: tuple[str, ...] = (door.EVERYWHERE,)) -> dict[str, Type]:
    with door.of_regions(office.engine, regions) as db:
        return {one.calibration: one for one in across.overview(db, asked)}


def jobs(given: dict[str, Type]) -> int:
    return sum(one.sums.jobs for one in given.values())


def told(given: dict[str, Type]) -> dict[str, tuple[object, ...]]:
    """What can be compared of it."""
    return {
        name: (
            one.sums.jobs,
            one.sums.whole,
            one.sums.rate,
            round(one.sums.setup_share or 0, 9),
            len(one.months),
        )
        for name, one in given.items()
    }


def exact(office: Office, more: str = "true") -> dict[str, list[tuple[float, bool, bool | None]]]:
    rows = office.rows(
        "SELECT calibration, own_s + shared_s, estimated OR outcome <> 'done', first_time_pass FROM office.time t "
        f"JOIN office.shop s ON s.id = t.shop WHERE {more}"
    )
    made: dict[str, list[tuple[float, bool, bool | None]]] = {}
    for name, *one in rows:
        made.setdefault(name, []).append(tuple(one))  # type: ignore[arg-type]
    return made


@pytest.mark.parametrize(
    ("asked", "more"),
    [
        (Asked(), "true"),
        (Asked(region="North"), "s.region = 'North'"),
        (Asked(since=date(2026, 3, 1)), "t.ended_on >= '2026-03-01'"),
        (Asked(region="South", until=date(2026, 3, 1)), "s.region = 'South' AND t.ended_on < '2026-03-01'"),
    ],
)
def test_the_figures_are_those_of_the_jobs(office: Office, two: tuple[Shop, Shop], asked: Asked, more: str) -> None:
    add_up(office)
    given, expected = found(office, asked), exact(office, more)
    assert given.keys() == expected.keys()
    for name, rows in expected.items():
        one = given[name]
        assert one.sums.jobs == len(rows)
        known = [passed for _s, _e, passed in rows if passed is not None]
        assert (one.sums.rate.passed, one.sums.rate.n) == (sum(known), len(known))
        whole = summary([seconds for seconds, left_out, _p in rows if not left_out])
        assert (one.sums.whole is None) == (whole is None)
        if one.sums.whole and whole:
            assert abs(one.sums.whole.median / whole.median - 1) < CLOSE
            assert abs(one.sums.whole.p80 / whole.p80 - 1) < CLOSE


def test_one_shop_alone(office: Office, two: tuple[Shop, Shop]) -> None:
    north, _south = two
    given = found(office, Asked(shop=north.name()))
    assert jobs(given) == len(office.rows("SELECT 1 FROM office.time")) / 2


def test_what_comes_again_is_not_counted_again_and_only_news_are_added_up(
    office: Office, two: tuple[Shop, Shop]
) -> None:
    assert add_up(office) > 0
    before = told(found(office, Asked()))
    assert add_up(office) == 0
    north, _south = two
    north.join(office.code("Bridge Street", "North", again=north.name()))
    north.drain()
    assert add_up(office) > 0
    assert told(found(office, Asked())) == before


def test_a_job_counts_once_in_whatever_bundles_it_comes(office: Office, shop: Shop) -> None:
    """Its entry comes three times, twice of these in one bundle, each with all that was recorded."""
    one = Simulated(Pattern.of(shop.bundle()), Random(1), at_once=5)
    for _ in range(3):
        one.dice = Random(1)
        one.work(3)
    one.join(office.exchange, office.code("Quay", "South"))
    while one.arrived() < len(one.entries()):
        one.turn(office.exchange)
    assert office.months(one.name()) == office.months_anew(one.name())
    calibrations = len(one.pattern.body["times"])
    assert office.rows("SELECT sum(jobs) FROM office.shop_month WHERE shop = :s", s=one.name()) == [(3 * calibrations,)]


def test_a_shop_that_goes_to_another_region_is_counted_there_alone(office: Office, two: tuple[Shop, Shop]) -> None:
    add_up(office)
    before = told(found(office, Asked()))
    north, _south = two
    north.join(office.code("Bridge Street", "South", again=north.name()))
    add_up(office)
    assert found(office, Asked(region="North")) == {}
    assert told(found(office, Asked(region="South"))) == before == told(found(office, Asked()))


def test_a_region_sees_its_own_months_alone(office: Office, two: tuple[Shop, Shop]) -> None:
    add_up(office)
    assert found(office, Asked(), ("East",)) == {}
    half = found(office, Asked(), ("North",))
    assert told(half) == told(found(office, Asked(region="North")))
    assert jobs(half) * 2 == jobs(found(office, Asked()))


def test_what_is_written_while_it_is_added_up_is_not_missed(office: Office, two: tuple[Shop, Shop]) -> None:
    """A transaction that began before and ends after the adding up: its rows are found the next time."""
    add_up(office)
    north, _south = two
    with door.of_shop(office.engine, north.name()) as slow:
        slow.execute(text("UPDATE office.shop_month SET jobs = jobs + 1, written = pg_current_xact_id()"))
        assert add_up(office) == 0
        assert add_up(office) == 0
    assert add_up(office) > 0
    assert jobs(found(office, Asked(region="North"))) == sum(
        jobs for (jobs,) in office.rows("SELECT jobs FROM office.shop_month WHERE shop = :s", s=north.name())
    )


def test_outcomes_by_vehicle_model(office: Office, two: tuple[Shop, Shop]) -> None:
    name, _count = office.rows("SELECT calibration, count(*) FROM office.time GROUP BY 1 ORDER BY 2 DESC LIMIT 1")[0]
    expected = {
        (vehicle, outcome): count
        for vehicle, outcome, count in office.rows(
            "SELECT coalesce(vehicle, ''), outcome, count(*) FROM office.time WHERE calibration = :c GROUP BY 1, 2",
            c=name,
        )
    }
    with door.of_regions(office.engine, [door.EVERYWHERE]) as db:
        given = across.models(db, name, Asked())
    counts = {(one.vehicle, outcome): count for one in given for outcome, count in one.outcomes.items()}
    assert counts == expected
    assert [one.jobs for one in given] == sorted((one.jobs for one in given), reverse=True)
    assert np.sum([one.jobs for one in given]) == sum(expected.values())


def test_the_page_shows_what_its_reader_may_see(
    desk: FlaskClient, office: Office, two: tuple[Shop, Shop], library: Library
) -> None:
    scan_badge(desk, TOMAS)
    page = Page(desk.get("/shops/times").text)
    everything = found(office, Asked())
    rows = [one for one in page.all("tr") if "First time" not in one.text]
    assert len(rows) == len(everything)
    name = next(iter(everything))
    assert library.procedures[name].title in rows[0].text
    assert str(everything[name].sums.jobs) in rows[0].text
    detail = Page(desk.get(f"/shops/times/{name}").text)
    assert detail.one("h1").text == library.procedures[name].title
    with door.of_everything(office.engine) as db:
        shops.give_regions(db, ADA.badge, ["East"])
    scan_badge(desk, ADA)
    assert "tr" not in [one.tag for one in Page(desk.get("/shops/times").text).elements]


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ("since=soon", "since='soon' must be a month such as 2026-03"),
        ("since=2026-13", "since='2026-13' must be a month"),
        ("since=2026-05&until=2026-03", "since=2026-05 lies after until=2026-03"),
    ],
)
def test_a_month_that_is_none_is_named(desk: FlaskClient, office: Office, query: str, says: str) -> None:
    scan_badge(desk, TOMAS)
    answer = desk.get(f"/shops/times?{query}")
    assert answer.status_code == 400
    assert says in Page(answer.text).text
