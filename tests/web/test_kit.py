"""The kit's pages: what must not be used stands first, and only a supervisor puts a thing back into service."""

import re
from datetime import date, timedelta

import pytest
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import ADA, NOOR, scan_badge, thing
from webapp.core.procedure import Library
from webapp.storage import kit
from webapp.storage.engine import session
from webapp.storage.tables import Item
from webapp.web.kit.state import DAMAGED, GOOD, OVERDUE, SOON_DUE, state_of

TODAY = date(2026, 3, 2)


def plate(engine: Engine) -> Item:
    with session(engine) as db:
        return thing(db, "radar-plate")


def plain(html: str) -> str:
    return re.sub(r"\s+", " ", re.sub("<[^>]*>", " ", html))


@pytest.mark.parametrize(
    ("condition", "due_in_days", "state"),
    [
        ("good", None, GOOD),
        ("good", 31, GOOD),
        ("good", 30, SOON_DUE),
        ("good", 0, SOON_DUE),
        ("good", -1, OVERDUE),
        ("damaged", 100, DAMAGED),
        ("damaged", -1, DAMAGED),
    ],
)
def test_the_state_on_a_day(condition: str, due_in_days: int | None, state: object) -> None:
    due = None if due_in_days is None else TODAY + timedelta(days=due_in_days)
    item = Item(code="T-1", kind="target", is_="mat", name="Mat", condition=condition, inspection_due=due)
    assert state_of(item, TODAY) is state


def test_everything_is_listed_with_its_condition_in_words_and_where_it_lives(
    client: FlaskClient, library: Library
) -> None:
    page = plain(client.get("/kit").text)
    assert "⊗ 2 things must not be used" in page
    assert re.search(r"Camera board, left, spare CBL-\w{4} : damaged", page)
    assert re.search(r"Camera board, right, spare CBR-\w{4} : inspection overdue", page)
    assert re.search(
        r"Radar reflector plate RP-\w{4} ● in service inspect by \d{4}-\d\d-\d\d lives: Rack, plate shelf", page
    )
    # Each kind of target once, less the test label, and two spares; each kind of spot once, less the bay's own.
    targets, spots = len(library.catalogue.targets) - 1 + 2, len(library.catalogue.spots) - 1
    for heading in (f"Targets {targets}", f"Spots {spots}", "Bays 3", "Test labels 1", "Tools 4"):
        assert heading in page


def test_a_technician_takes_a_damaged_thing_out_of_service_with_name_and_day(
    client: FlaskClient, demo_engine: Engine
) -> None:
    scan_badge(client, NOOR)
    code = plate(demo_engine).code
    assert client.post(f"/kit/{code}/damaged", data={"damage": "Dent in the middle"}).status_code == 303
    found = plate(demo_engine)
    assert found.condition == "damaged"
    assert re.fullmatch(r"\d{4}-\d\d-\d\d, Noor Brandt: Dent in the middle", found.note)
    page = client.get(f"/kit/{code}").text
    assert "⊗ damaged" in page
    assert "Dent in the middle" in page


def test_a_report_without_words_is_refused_beside_its_field(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, NOOR)
    answer = client.post(f"/kit/{plate(demo_engine).code}/damaged", data={"damage": "  "})
    assert answer.status_code == 400
    assert 'aria-describedby="damage-refused"' in answer.text
    assert plate(demo_engine).condition == "good"


def test_without_a_badge_nothing_is_changed(client: FlaskClient, demo_engine: Engine) -> None:
    answer = client.post(f"/kit/{plate(demo_engine).code}/damaged", data={"damage": "Dent"})
    assert answer.status_code == 403
    assert "Scan your badge" in answer.text
    assert plate(demo_engine).condition == "good"


def test_a_technician_may_not_put_a_thing_back_into_service(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, NOOR)
    with session(demo_engine) as db:
        code = thing(db, "camera-board-left", spare=True).code
    assert "kit-keep" not in client.get(f"/kit/{code}").text
    answer = client.post(f"/kit/{code}", data={"name": "Board", "condition": "good"})
    assert answer.status_code == 403
    assert "supervisor or a manager" in answer.text
    with session(demo_engine) as db:
        assert kit.item_of(db, code).condition == "damaged"


def test_a_supervisor_changes_condition_dates_home_and_note(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, ADA)
    with session(demo_engine) as db:
        code, home = thing(db, "camera-board-left", spare=True).code, thing(db, "rack-plate").code
    sent = {
        "name": "Camera board, left, second",
        "condition": "good",
        "inspected_on": "2026-03-02",
        "inspection_due": "2027-03-02",
        "home": home,
        "note": "Corner straightened.",
    }
    assert client.post(f"/kit/{code}", data=sent).headers["Location"] == f"/kit/{code}"
    with session(demo_engine) as db:
        found = kit.item_of(db, code)
    assert (found.name, found.condition, found.home, found.note) == (
        "Camera board, left, second",
        "good",
        home,
        "Corner straightened.",
    )
    assert (found.inspected_on, found.inspection_due) == (date(2026, 3, 2), date(2027, 3, 2))


@pytest.mark.parametrize("day", ["2026-02-30", "02.03.2026", "20260302", "٢٠٢٦-٠٣-٠٢"])
def test_a_day_that_is_none_is_named_and_what_was_typed_is_kept(
    client: FlaskClient, demo_engine: Engine, day: str
) -> None:
    scan_badge(client, ADA)
    before = plate(demo_engine)
    answer = client.post(
        f"/kit/{before.code}", data={"name": "Plate, new name", "condition": "good", "inspection_due": day}
    )
    assert answer.status_code == 400
    assert f"inspection_due=&#39;{day}&#39; must be a day of the calendar" in answer.text
    assert 'value="Plate, new name"' in answer.text
    assert plate(demo_engine) == before


def test_a_supervisor_adds_a_target_and_its_label_is_shown(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, ADA)
    answer = client.post("/kit/new", data={"what": "target:radar-plate", "name": "", "condition": "good"})
    assert answer.status_code == 303
    code = answer.headers["Location"].removeprefix("/kit/")
    with session(demo_engine) as db:
        added = kit.item_of(db, code)
    assert (added.kind, added.is_, added.name) == ("target", "radar-plate", "Radar reflector plate")
    assert f"BAY.T.{code}." in client.get(f"/kit/{code}").text


def test_a_supervisor_adds_a_bay_with_its_clear_floor(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, ADA)
    sent = {"what": "bay:bay", "name": "Bay 3", "code": "bay-3", "width": "4000", "length": "9500"}
    assert client.post("/kit/new", data=sent).headers["Location"] == "/kit/BAY-3"
    with session(demo_engine) as db:
        added = kit.item_of(db, "BAY-3")
    assert (added.kind, added.width_mm, added.length_mm) == ("bay", 4000.0, 9500.0)


@pytest.mark.parametrize(
    ("sent", "status", "message"),
    [
        ({"what": "target:moon"}, 400, "what=&#39;target:moon&#39; must be one of the things on the list"),
        ({"what": "badge:badge"}, 400, "must be one of the things on the list"),
        ({"what": "bay:bay", "width": "four"}, 400, "width=&#39;four&#39; must be whole millimetres"),
        (
            {"what": "bay:bay", "width": "4000"},
            400,
            "length=&#39;&#39; must be whole millimetres from 1000 to 50000",
        ),
        ({"what": "bay:bay", "code": "DH6RM4"}, 409, "code=&#39;DH6RM4&#39; is on another label already"),
        ({"what": "tool:tool"}, 400, "name=&#39;&#39; must be 1 to 60 characters"),
        ({"what": "target:radar-plate", "home": "NOWHERE"}, 400, "home=&#39;NOWHERE&#39; must be the code of a spot"),
    ],
)
def test_what_cannot_be_added_is_named_and_nothing_is_added(
    client: FlaskClient, demo_engine: Engine, sent: dict[str, str], status: int, message: str
) -> None:
    scan_badge(client, ADA)
    with session(demo_engine) as db:
        before = len(kit.items(db))
    answer = client.post("/kit/new", data=sent)
    assert answer.status_code == status
    assert message in answer.text
    with session(demo_engine) as db:
        assert len(kit.items(db)) == before


def test_a_technician_may_not_add(client: FlaskClient) -> None:
    scan_badge(client, NOOR)
    assert client.post("/kit/new", data={"what": "target:radar-plate"}).status_code == 403


def test_a_code_of_nothing_leads_to_a_page_that_says_so(client: FlaskClient) -> None:
    answer = client.get("/kit/NOTHING")
    assert answer.status_code == 404
    assert "code=&#39;NOTHING&#39; is not in the kit" in answer.text


CERTIFIED = {"what": "tool:tape", "name": "Steel tape", "code": "ST-1", "shape": "expanded", "half_width": "0,24"}


def test_an_instrument_says_how_sure_it_is_and_can_be_corrected(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, ADA)
    assert client.post("/kit/new", data=CERTIFIED | {"per_m": "0.05", "k": "2"}).status_code == 303
    page = client.get("/kit/ST-1")
    assert "U = 0.24 mm (k = 2) by its certificate, and 0.05 mm more for each metre." in plain(page.text).replace(
        "\u2068", ""
    ).replace("\u2069", "")
    client.post("/kit/ST-1", data={"name": "Steel tape", "shape": "rectangular", "half_width": "0.5"})
    with session(demo_engine) as db:
        held = kit.kit(db)["ST-1"]
    assert held["accuracy"] == {"shape": "rectangular", "half_width": 0.5, "per_m": 0.0, "k": None}
    client.post("/kit/ST-1", data={"name": "Steel tape", "shape": "rectangular"})
    with session(demo_engine) as db:
        assert "ST-1" not in kit.kit(db)  # a tool like any other


@pytest.mark.parametrize(
    ("sent", "message"),
    [
        ({"k": ""}, "k is missing: give a number"),
        ({"k": "7"}, "k=&#39;7&#39; must lie within 1 to 4"),
        ({"k": "2", "half_width": "-1"}, "half_width=&#39;-1&#39; must lie within 0.001 to 100"),
        ({"k": "2", "half_width": "0.2 deg"}, "half_width=&#39;0.2 deg&#39; must be in mm"),
        ({"k": "2", "shape": "round"}, "shape=&#39;round&#39; must be one of rectangular, triangular, expanded"),
    ],
)
def test_an_accuracy_that_cannot_be_is_named(client: FlaskClient, sent: dict[str, str], message: str) -> None:
    scan_badge(client, ADA)
    answer = client.post("/kit/new", data=CERTIFIED | sent)
    assert answer.status_code == 400
    assert message in answer.text


PLAN = "Bay: 4500 2100; 4500 -2100; -7000 -2100; -7000 2100\nPillar: 900 1800; 900 2100; 600 2100; 600 1800"


def test_a_bay_keeps_its_plan_and_shows_it_again(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, ADA)
    assert (
        client.post("/kit/new", data={"what": "bay:bay", "name": "Bay 9", "code": "B9", "plan": PLAN}).status_code
        == 303
    )
    with session(demo_engine) as db:
        held = kit.item_of(db, "B9").plan
    assert held == {
        "corners": [[4500, 2100], [4500, -2100], [-7000, -2100], [-7000, 2100]],
        "obstacles": [{"name": "Pillar", "corners": [[900, 1800], [900, 2100], [600, 2100], [600, 1800]]}],
    }
    assert PLAN in client.get("/kit/B9").text


@pytest.mark.parametrize(
    ("plan", "message"),
    [
        ("Bay: 1 2; 3", "plan: line 1, &#39;3&#39; must be two numbers in mm, forward and to the left"),
        ("Bay: 0 0; 1 x; 5 5", "plan=&#39;x&#39; must be one number in mm"),
        ("Bay: 0 0; 9000 0", "plan: line 1 has 2 corners; give 3 to 100"),
        ("Bay: 0 0; 9000 9000; 9000 0; 0 9000", "plan: line 1 crosses itself or has no inside"),
        (PLAN.replace("Pillar:", ""), "plan: line 2 has no name"),
        ("Bay: 0 0; 90000 0; 0 5000", "plan=&#39;90000&#39; must lie within -50000 to 50000"),
    ],
)
def test_a_plan_that_is_none_is_named_and_kept_in_the_field(client: FlaskClient, plan: str, message: str) -> None:
    scan_badge(client, ADA)
    answer = client.post("/kit/new", data={"what": "bay:bay", "name": "Bay 9", "plan": plan})
    assert answer.status_code == 400
    assert message in answer.text
    assert plan.splitlines()[0] in answer.text
