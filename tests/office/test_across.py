"""One calibration over all shops, against the jobs' own rows and against the same shop's own pages."""

import csv
import json
import re
from io import StringIO

import pytest
from flask.testing import FlaskClient
from sqlalchemy import text

from tests.cast import TOMAS, scan_badge
from tests.web.markup import Page
from webapp.core.portions import OWN, PAUSE, SHARED, WAIT
from webapp.core.procedure import Library
from webapp.storage.engine import session
from webapp.storage.figures import Asked as AskedOfShop
from webapp.storage.figures import figures
from webapp.storage.office import across, door, months
from webapp.storage.office.across import Asked
from webapp.web.times.figures import pauses, steps, waits

from .conftest import Office, Shop

CAMERA = "forward-camera-static"
CLOSE, CLOSE_PART = 0.0101, 0.0252


def add_up(office: Office) -> None:
    with door.of_everything(office.engine) as db:
        months.add_up(db)


@pytest.fixture
def alone(office: Office, shop: Shop) -> Shop:
    """One shop, all of whose jobs have arrived and were added up."""
    shop.drain()
    add_up(office)
    return shop


@pytest.mark.parametrize("name", [CAMERA, "rear-camera", "steering-angle-zero"])
def test_head_office_says_of_one_shop_what_that_says_itself(office: Office, alone: Shop, name: str) -> None:
    with session(alone.engine) as db:
        known = figures(db)
        there = known.types(AskedOfShop(), [name])[name]
        beside = known.beside(AskedOfShop(), name)
        lines = {
            OWN: steps(known.steps(AskedOfShop(), name), beside, own=True),
            SHARED: steps(known.steps(AskedOfShop(), name), beside, own=False),
            WAIT: waits(beside),
            PAUSE: pauses(there),
        }
    with door.of_regions(office.engine, [door.EVERYWHERE]) as db:
        found, revisions = across.one_type(db, name, Asked())
        parts = across.portions_of(db, name, Asked())
    assert found.sums.jobs == len(there) > 0
    assert found.sums.counted == int(there.counted.sum())
    assert sum(sums.jobs for _month, sums in found.months) == sum(one.jobs for one in revisions.values()) == len(there)
    assert set(revisions) == set(there.revision.tolist())
    assert (found.sums.passed, found.sums.known) == (int((there.first == 1).sum()), int((there.first != 2).sum()))
    assert found.sums.whole_s == pytest.approx(there.whole_s[there.counted].sum())
    assert found.sums.shared_s == pytest.approx(there.shared_s[there.counted].sum())
    for kind, section in lines.items():
        mine = {one.name: one for one in parts if one.kind == kind and one.n}
        assert mine.keys() == {one.name for one in section.lines}
        for line in section.lines:
            one = mine[line.name]
            assert one.n == line.n
            assert one.seconds == pytest.approx(line.seconds, rel=1e-5, abs=0.01)
            assert (one.found is None) == (line.found is None)
            if one.found and line.found and line.found.median > 1:
                assert abs(one.found.median / line.found.median - 1) < CLOSE_PART
    odd = {(one.name, one.again, one.wrong) for one in parts if one.again or one.wrong}
    assert odd == {(one.step, one.again, one.wrong) for one in beside if one.again or one.wrong}
    assert {OWN, SHARED} <= {one.kind for one in parts}


def jobs_of(office: Office, more: str, name: str = CAMERA) -> int:
    asked = (
        f"SELECT count(*) FROM office.time t JOIN office.shop s ON s.id = t.shop WHERE t.calibration = :c AND {more}"
    )
    return int(office.rows(asked, c=name)[0][0])


def test_each_filter_leaves_the_jobs_that_it_names(office: Office, two: tuple[Shop, Shop]) -> None:
    add_up(office)
    with door.of_regions(office.engine, [door.EVERYWHERE]) as db:
        choices = across.choices(db, CAMERA)
        assert len(choices.vehicles) > 1
        vehicle, revision = choices.vehicles[0], choices.revisions[-1]
        placing = choices.placings[0]
        for asked, more in (
            (Asked(vehicle=vehicle), f"t.vehicle = '{vehicle}'"),
            (Asked(vehicle=vehicle, region="North"), f"t.vehicle = '{vehicle}' AND s.region = 'North'"),
            (Asked(revision=revision), f"t.revision = {revision}"),
            (Asked(placing=placing), f"t.placed = '{placing}'"),
            (Asked(placing=placing, vehicle=vehicle), f"t.placed = '{placing}' AND t.vehicle = '{vehicle}'"),
            (Asked(shop=two[0].name(), placing=placing), f"t.placed = '{placing}' AND s.region = 'North'"),
            (Asked(placing="with a stick"), "false"),
        ):
            found, _revisions = across.one_type(db, CAMERA, asked)
            assert found.sums.jobs == jobs_of(office, more), more
            by_shop = across.places(db, CAMERA, asked, "shop")
            by_region = across.places(db, CAMERA, asked, "region")
            assert {name: one.jobs for name, one in by_shop.items()} == {
                shop.name(): n
                for shop, region in zip(two, ("North", "South"), strict=True)
                if (n := jobs_of(office, f"{more} AND s.region = '{region}'"))
            }
            assert {name for name, one in by_region.items() if one.jobs} <= {"North", "South"}
            assert sum(one.jobs for one in by_region.values()) == found.sums.jobs
            worked = [one for one in across.portions_of(db, CAMERA, asked) if one.kind == OWN]
            assert bool(worked) == bool(found.sums.jobs)


def test_the_steps_of_one_vehicle_are_those_of_its_jobs(office: Office, alone: Shop) -> None:
    with door.of_regions(office.engine, [door.EVERYWHERE]) as db:
        vehicles = across.choices(db, CAMERA).vehicles
        each = [one for name in vehicles for one in across.portions_of(db, CAMERA, Asked(vehicle=name))]
        whole = across.portions_of(db, CAMERA, Asked())
    for one in whole:
        some = [other for other in each if (other.kind, other.name) == (one.kind, one.name)]
        assert sum(other.n for other in some) == one.n
        assert sum(other.seconds for other in some) == pytest.approx(one.seconds)


def test_what_an_older_version_added_up_is_added_up_anew(office: Office, alone: Shop) -> None:
    before = office.added_up("shop"), office.added_up("region")
    with door.of_everything(office.engine) as db:
        db.execute(text("UPDATE office.shop_month SET own = NULL, shared = NULL, portions = NULL, whole_s = 0"))
    assert office.added_up("shop") != before[0]
    assert months.complete(office.engine) > 0
    add_up(office)
    assert (office.added_up("shop"), office.added_up("region")) == before
    assert months.complete(office.engine) == 0


def test_a_shop_of_an_older_version_tells_its_times_and_no_more(office: Office, shop: Shop) -> None:
    bundle = shop.bundle()
    bundle["baybook-bundle"] = 1
    for one in bundle["entries"]:
        del one["body"]["spent"]
        for time in one["body"]["times"]:
            del time["revision"], time["placing"]
    assert {one["status"] for one in json.loads(shop.send(bundle).body)["answers"]} == {"kept"}
    add_up(office)
    with door.of_regions(office.engine, [door.EVERYWHERE]) as db:
        found, revisions = across.one_type(db, CAMERA, Asked())
        assert found.sums.jobs > 0
        assert found.sums.own.any()
        assert list(revisions) == [0]
        assert across.portions_of(db, CAMERA, Asked()) == []
        assert across.choices(db, CAMERA).revisions == []


@pytest.fixture
def manager(desk: FlaskClient, two: tuple[Shop, Shop]) -> FlaskClient:
    """A manager's browser at head office, where the jobs of two shops have arrived."""
    scan_badge(desk, TOMAS)
    return desk


def test_the_page_of_one_calibration(manager: FlaskClient, office: Office, library: Library) -> None:
    page = Page(manager.get(f"/shops/times/{CAMERA}").text)
    assert page.one("h1").text == library.procedures[CAMERA].title
    kinds = [one["data-kind"] for one in page.elements if one.has("data-kind")]
    assert kinds[0] == "bars"
    assert "bar" in kinds
    beside = next(one for one in page.all("table") if "Bridge Street" in one.text)
    assert beside.text.index("Bridge Street") < beside.text.index("Quay")
    assert "this is no ranking" in page.text
    own = next(one for one in page.all("table") if "Own steps, minutes" in one.text)
    assert any(step.do in own.text for step in library.procedures[CAMERA].steps)
    links = [one["href"] for one in page.all("a") if one["href"].startswith(f"/shops/times/{CAMERA}?")]
    north = next(one for one in links if "shop=" in one)
    assert "Bridge Street" not in [one.text for one in Page(manager.get(north).text).all("th")]


def test_links_keep_what_was_asked_for(manager: FlaskClient, library: Library) -> None:
    revision = library.procedures[CAMERA].revision
    asked = f"region=North&since=2026-01&revision={revision}"
    page = Page(manager.get(f"/shops/times/{CAMERA}?{asked}&compare=2026-03").text)
    models = next(one["href"] for one in page.all("a") if "/models" in one["href"])
    assert models.endswith("models?region=North&since=2026-01")
    assert f"Only from Jan 2026, Region: North, Revision of the procedure: {revision}." in page.text
    assert page.value("revision")[0] == str(revision)


def test_before_a_month_against_from_it_on(manager: FlaskClient, office: Office) -> None:
    months_ = [row[0] for row in office.rows("SELECT DISTINCT month FROM office.shop_month ORDER BY 1")]
    told = manager.get(f"/shops/times/{CAMERA}?compare={months_[-1]:%Y-%m}").text
    before, after = (
        jobs_of(office, f"t.ended_on {sign} '{months_[-1]}' AND t.outcome = 'done' AND NOT t.estimated")
        for sign in ("<", ">=")
    )
    if min(before, after) < 5:
        assert "a comparison takes 5 jobs on each side of the month" in Page(told).text
    else:
        assert f"({after} jobs) against before ({before} jobs)" in Page(told).text


def test_revisions_are_compared(manager: FlaskClient, office: Office, two: tuple[Shop, Shop]) -> None:
    """The south works by the next revision, and each job's own steps take it five minutes longer."""
    with door.of_shop(office.engine, two[1].name()) as db:
        db.execute(text("UPDATE office.time SET revision = revision + 1, own_s = own_s + 3000"))
        days = list(db.execute(text("SELECT DISTINCT ended_on FROM office.time")).scalars())
        months.anew(db, two[1].name(), days)
    old, new = sorted(
        n for (n,) in office.rows("SELECT DISTINCT revision FROM office.time WHERE calibration = :c", c=CAMERA)
    )
    n = jobs_of(office, f"t.outcome = 'done' AND NOT t.estimated AND t.revision = {old}")
    text_ = Page(manager.get(f"/shops/times/{CAMERA}").text).text
    assert f"Own steps under revision {new} of the procedure ({n} jobs) against revision {old} ({n} jobs):" in text_
    longer = re.search(r"(\d+) min longer", text_)
    assert longer
    assert abs(int(longer[1]) - 50) <= 2


def test_the_file_has_what_the_page_shows(manager: FlaskClient, office: Office) -> None:
    answer = manager.get("/shops/times.csv?region=North")
    assert answer.headers["Content-Type"] == "text/csv; charset=utf-8"
    rows = {row["calibration"]: row for row in csv.DictReader(StringIO(answer.text))}
    with door.of_regions(office.engine, ["North"]) as db:
        types = {one.calibration: one for one in across.overview(db, Asked())}
    assert rows.keys() == types.keys()
    whole = types[CAMERA].sums.whole
    assert whole is not None
    assert float(rows[CAMERA]["median_s"]) == pytest.approx(whole.median, abs=0.001)
    assert (rows[CAMERA]["jobs"], rows[CAMERA]["first_time"]) == (
        str(types[CAMERA].sums.jobs),
        str(types[CAMERA].sums.passed),
    )


def test_a_calibration_that_is_none_is_named(manager: FlaskClient) -> None:
    answer = manager.get("/shops/times/tea-break")
    assert answer.status_code == 404
    assert "calibration='tea-break' is not known" in Page(answer.text).text


def test_nobody_is_sent_to_a_bay_or_a_person(manager: FlaskClient) -> None:
    page = Page(manager.get(f"/shops/times/{CAMERA}?bay=B1&person=P1").text)
    assert {one["name"] for one in page.all("select")} & {"bay", "person"} == set()
    assert "B1" not in "".join(one["href"] for one in page.all("a"))
