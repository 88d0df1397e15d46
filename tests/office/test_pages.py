"""Head office's pages and the shop's outbox, as a manager and others see them."""

from collections.abc import Callable, Iterator
from datetime import date

import pytest
from flask.testing import FlaskClient
from sqlalchemy import text

from tests.browsing import Browser
from tests.cast import ADA, NOOR, TOMAS, Someone, scan_badge
from tests.web.markup import Page
from webapp import create_app
from webapp.library.load import load
from webapp.paths import PROCEDURES
from webapp.storage import demo
from webapp.storage.engine import session, writing
from webapp.storage.office import door, prepare, shops
from webapp.sync.forward import Answer

from .conftest import Office, Shop
from .releasing import CLOSER, changed, give_out


@pytest.fixture
def at_shop(shop: Shop) -> Iterator[FlaskClient]:
    """A browser at a shop that has joined."""
    app = create_app(shop.settings)
    app.test_client_class = Browser
    with app.test_client() as opened:
        yield opened
    app.extensions["engine"].dispose()


def test_head_office_begins_with_its_shops(desk: FlaskClient, office: Office, shop: Shop) -> None:
    shop.drain()
    scan_badge(desk, TOMAS)
    page = Page(desk.get("/", follow_redirects=True).text)
    assert page.one("h1").text == "Shops"
    row = next(one for one in page.all("li") if "Bridge Street" in one.text)
    assert f"{shop.size()} entries" in row.text
    assert "version 0.1.0" in row.text
    assert "silent" not in row.text


def test_a_shop_that_has_fallen_silent_or_was_refused_stands_out(
    desk: FlaskClient, office: Office, joined: tuple[Shop, Shop]
) -> None:
    north, south = joined
    with door.of_everything(office.engine) as db:
        shops.note_refused(db, south.name(), "head is not signed by this shop's key; join head office anew", LONG_AGO)
        shops.note_refused(db, north.name(), None, LONG_AGO)
    scan_badge(desk, TOMAS)
    text = Page(desk.get("/shops").text).text
    assert "◐ silent for" in text
    assert "⊗ refused" in text
    one = Page(desk.get(f"/shops/{south.name()}").text).text
    assert "head is not signed by this shop's key" in one


LONG_AGO = "2026-03-01T08:00:00.000Z"


def test_a_code_from_the_page_lets_a_shop_in(desk: FlaskClient, office: Office, shop_of: Callable[[], Shop]) -> None:
    scan_badge(desk, TOMAS)
    page = Page(desk.post("/shops/codes", data={"name": "Mill Lane", "region": "East"}).text)
    code = next(one.text for one in page.elements if one.has("data-code"))
    shop = shop_of()
    assert shop.join(code) == "Mill Lane"
    assert "Mill Lane" in desk.get("/shops").text
    answer = desk.post("/shops/codes", data={"name": " ", "region": "East"})
    assert answer.status_code == 400
    assert "name=' ' must be 1 to 60 characters" in Page(answer.text).text
    assert Page(answer.text).value("region") == ["East"]


def test_a_shop_joins_anew_or_is_taken_out(desk: FlaskClient, office: Office, shop: Shop) -> None:
    shop.drain()
    scan_badge(desk, TOMAS)
    page = Page(desk.post(f"/shops/{shop.name()}/again").text)
    code = next(one.text for one in page.elements if one.has("data-code"))
    desk.post(f"/shops/{shop.name()}/out")
    assert "taken out" in desk.get("/shops").text
    with pytest.raises(Exception, match="was taken out on"):
        shop.turn()
    shop.join(code)
    shop.drain()
    assert office.rows("SELECT log, size, left_at FROM office.shop") == [(2, shop.size(), None)]


def test_each_sees_the_regions_that_were_given_to_them(
    desk: FlaskClient, office: Office, joined: tuple[Shop, Shop]
) -> None:
    scan_badge(desk, ADA)
    assert "No region was given to you" in Page(desk.get("/shops").text).text
    scan_badge(desk, TOMAS)
    answer = desk.post("/shops/readers", data={"person": ADA.badge, "regions": " South ,"})
    assert answer.status_code == 200
    assert answer.text.count("Bridge Street") > 0
    scan_badge(desk, ADA)
    text = Page(desk.get("/shops").text).text
    assert "Quay" in text
    assert "Bridge Street" not in text
    hidden = office.rows("SELECT id FROM office.shop WHERE region = 'North'")[0][0]
    assert desk.get(f"/shops/{hidden}").status_code == 404


ROUTES = (
    ("GET", "/shops", {"supervisor", "manager"}),
    ("GET", "/shops/{shop}", {"supervisor", "manager"}),
    ("GET", "/shops/times", {"supervisor", "manager"}),
    ("GET", "/shops/kit", {"supervisor", "manager"}),
    ("GET", "/shops/times.csv", {"supervisor", "manager"}),
    ("GET", "/shops/times/{calibration}", {"supervisor", "manager"}),
    ("GET", "/shops/times/{calibration}/models", {"supervisor", "manager"}),
    ("GET", "/shops/releases", {"supervisor", "manager"}),
    ("GET", "/shops/releases/{number}", {"supervisor", "manager"}),
    ("POST", "/shops/releases", {"manager"}),
    ("POST", "/shops/codes", {"manager"}),
    ("POST", "/shops/readers", {"manager"}),
    ("POST", "/shops/{shop}/again", {"manager"}),
    ("POST", "/shops/{shop}/out", {"manager"}),
)
SENT = {
    "name": "Mill Lane",
    "region": "North",
    "person": ADA.badge,
    "regions": "North",
    "note": "Closer",
    "pin": TOMAS.pin,
}


def test_every_page_of_head_office_is_in_the_table(office: Office) -> None:
    spelled = {"{shop}": "<name>", "{number}": "<int:number>", "{calibration}": "<calibration>"}
    listed = set()
    for method, path, _may in ROUTES:
        name = next((one for one in spelled if one in path), "")
        listed.add((method, path.replace(name, spelled[name]) if name else path))
    rules = (rule for rule in office.app.url_map.iter_rules() if rule.endpoint.startswith("shops."))
    assert {(method, rule.rule) for rule in rules for method in (rule.methods or set()) & {"GET", "POST"}} == listed


@pytest.mark.parametrize("who", [None, NOOR, ADA, TOMAS], ids=lambda one: one.role if one else "nobody")
def test_who_may_do_what_at_head_office(desk: FlaskClient, office: Office, shop: Shop, who: Someone | None) -> None:
    with door.of_everything(office.engine) as db:
        shops.give_regions(db, ADA.badge, ["North"])
    give_out(office, changed(*CLOSER))
    if who:
        scan_badge(desk, who)
    for method, path, may in ROUTES:
        answer = desk.open(
            path.format(shop=shop.name(), calibration="rear-camera", number=1),
            method=method,
            data=SENT if method == "POST" else None,
        )
        expected = 200 if who and who.role in may else 403
        assert answer.status_code == expected, (method, path)


def test_head_offices_own_tables_hide_none_of_the_shops(office: Office) -> None:
    """Its database user is called as the schema is, in which PostgreSQL looks first."""
    asked = text("SELECT current_schema()")
    with session(office.engine) as db:
        assert db.connection().execute(asked).scalar() == "office"  # put back from a copy, which keeps no such setting
    prepare(office.settings.database_url)
    office.engine.dispose()
    with session(office.engine) as db:
        assert db.connection().execute(asked).scalar() == "public"
    with office.app.test_client() as desk:
        with writing(office.engine) as db:
            demo.load(db, load(PROCEDURES).catalogue, date(2026, 3, 7))
        scan_badge(desk, TOMAS)
        for page in ("/phones", "/times/now", "/owners"):
            assert desk.get(page).status_code == 200, page


def test_the_outbox_tells_what_waits_and_why(at_shop: FlaskClient, shop: Shop) -> None:
    scan_badge(at_shop, ADA)
    text = Page(at_shop.get("/outbox").text).text
    assert "◐ Something is still to be sent." in text

    def away(*_: object) -> Answer:
        raise ConnectionRefusedError("no route to host")

    with pytest.raises(Exception, match="no route to host"):
        shop.turn(away)
    page = Page(at_shop.get("/outbox").text)
    assert "⊗ The last try failed." in page.text
    assert "no route to host" in page.text
    assert shop.standing().next_at is not None
    assert at_shop.post("/outbox/now").status_code == 303
    assert shop.standing().next_at is None
    shop.drain()
    assert "● All of it is at head office." in Page(at_shop.get("/outbox").text).text
