"""What shops tell of their kit, and head office's page of it."""

import json
from datetime import date, timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlmodel import select

from tests.cast import ADA, CAST, TOMAS, scan_badge
from tests.web.markup import Page
from webapp.core.told_kit import SCANNED_DAYS
from webapp.storage.engine import session, writing
from webapp.storage.kit_told import kit_told
from webapp.storage.office import door, shops
from webapp.storage.office.tables import kit_item
from webapp.storage.tables import EventRow, Item, Job
from webapp.sync.forward import Answer
from webapp.web import moment

from .conftest import NOW, Office, Shop

TODAY = date.fromisoformat(NOW[:10])


class Counting:
    """The line to head office, and which requests went over it."""

    def __init__(self, office: Office, *without: str) -> None:
        self.office, self.without = office, without
        self.asked: list[str] = []

    def __call__(self, method: str, path: str, headers: Any, body: bytes) -> Answer:
        self.asked.append(f"{method} {path}")
        answer = self.office.exchange(method, path, headers, body)
        if path == "/office/standing" and self.without:
            said = {name: value for name, value in json.loads(answer.body).items() if name not in self.without}
            return Answer(answer.status, answer.headers, json.dumps(said).encode())
        return answer


def told(office: Office) -> dict[str, Any]:
    with door.of_regions(office.engine, [door.EVERYWHERE]) as db:
        rows = db.execute(select(kit_item)).mappings()
        return {one["code"]: dict(one) for one in rows}


def change(shop: Shop, **values: object) -> Item:
    """Change one target of the shop's kit."""
    with writing(shop.engine) as db:
        found = db.exec(select(Item).where(Item.kind == "target").order_by(Item.code)).first()
        assert found is not None
        for name, value in values.items():
            setattr(found, name, value)
        db.add(found)
    return found


def test_the_kit_is_told_once_and_again_only_when_it_has_changed(office: Office, shop: Shop) -> None:
    shop.drain()
    line = Counting(office)
    for _ in range(3):
        shop.turn(line)
    assert line.asked.count("PUT /office/kit") == 0  # told while it drained
    item = change(shop, inspection_due=TODAY - timedelta(days=3), inspected_on=TODAY - timedelta(days=400))
    for _ in range(3):
        shop.turn(line)
    assert line.asked.count("PUT /office/kit") == 1
    found = told(office)[item.code]
    assert (found["inspection_due"], found["name"], found["kind"]) == (item.inspection_due, item.name, "target")
    with session(shop.engine) as db:
        mine = {one.code for one in db.exec(select(Item)) if one.kind not in ("bay", "spot")}
    assert told(office).keys() == mine
    with writing(shop.engine) as db:
        db.delete(db.get_one(Item, item.code))
    shop.turn(line)
    assert told(office).keys() == mine - {item.code}


def test_wrong_scans_are_counted_over_whole_days(shop: Shop) -> None:
    spoil_scans(shop)
    with session(shop.engine) as db:
        rows = db.exec(select(EventRow, Job).join(Job, Job.id == EventRow.job).where(EventRow.kind == "scanned")).all()
        begin = f"{TODAY - timedelta(days=SCANNED_DAYS)}"
        expected = [
            json.loads(event.data)
            for event, job in rows
            if job.phase == "finished" and begin <= (job.finished_at or "")[:10] < str(TODAY)
        ]
        things = json.loads(kit_told(db, TODAY))["items"]
        assert kit_told(db, TODAY) == kit_told(db, TODAY)
    scanned = [one for one in expected if any(thing["code"] in one["text"] for thing in things)]
    assert sum(one["scans"] for one in things) == len(scanned) > 0
    wrong = [one for one in scanned if one["verdict"] == "wrong-target"]
    assert sum(one["wrong"] for one in things) == len(wrong) > 0


def spoil_scans(shop: Shop) -> None:
    """Each scan of a target brought the wrong one."""
    with writing(shop.engine) as db:
        targets = [one.code for one in db.exec(select(Item).where(Item.kind == "target"))]
        for event in db.exec(select(EventRow).where(EventRow.kind == "scanned")):
            data = json.loads(event.data)
            if any(code in data["text"] for code in targets):
                event.data = json.dumps(data | {"verdict": "wrong-target"})
                db.add(event)


def test_nobody_is_named_in_it(shop: Shop) -> None:
    change(shop, condition="damaged", note=f"2026-03-01, {ADA.name}: bent")
    with session(shop.engine) as db:
        said = kit_told(db, TODAY).decode()
    for person in CAST:
        assert person.name not in said
        assert person.badge not in said
    assert "bent" not in said


def test_a_head_office_of_an_older_version_is_told_nothing(office: Office, shop: Shop) -> None:
    line = Counting(office, "kit")
    while (sent := shop.turn(line)) and sent.more:
        pass
    assert "PUT /office/kit" not in line.asked
    assert told(office) == {}


def test_the_page_tells_what_is_due_by_region_and_shop(
    desk: FlaskClient, office: Office, two: tuple[Shop, Shop]
) -> None:
    north, south = two
    today = date.fromisoformat(moment.today())
    late = change(north, inspection_due=today - timedelta(days=1), inspected_on=None, condition="good")
    soon_due = {"inspection_due": today + timedelta(days=5), "inspected_on": None, "condition": "good"}
    change(south, name="Board of the south", **soon_due)
    spoil_scans(north)
    for one in two:
        one.turn()
    scan_badge(desk, TOMAS)
    page = Page(desk.get("/shops/kit").text)
    heads = [one.text for one in page.elements if one.tag in ("h2", "h3")]
    assert heads == ["North", "Bridge Street", "South", "Quay"]
    row = next(one for one in page.all("li") if late.code in one.text)
    assert "⊗ inspection overdue" in row.text
    soon = next(one for one in page.all("li") if "Board of the south" in one.text)
    assert "◐ inspection due soon" in soon.text
    assert "Labels scanned wrongly" in page.text
    assert "Quay" not in [one.text for one in Page(desk.get("/shops/kit?region=North").text).all("h3")]
    assert [one.text for one in Page(desk.get(f"/shops/kit?shop={south.name()}").text).all("h3")] == ["Quay"]
    with door.of_everything(office.engine) as db:
        shops.give_regions(db, ADA.badge, ["South"])
    scan_badge(desk, ADA)
    assert [one.text for one in Page(desk.get("/shops/kit").text).all("h3")] == ["Quay"]


def test_a_shop_that_does_not_tell_is_shown_so(desk: FlaskClient, office: Office, joined: tuple[Shop, Shop]) -> None:
    scan_badge(desk, TOMAS)
    page = Page(desk.get("/shops/kit").text)
    assert page.text.count("◐ not told") == 2
    joined[0].drain()
    assert Page(desk.get("/shops/kit").text).text.count("◐ not told") == 1
    with door.of_everything(office.engine) as db:
        shops.take_out(db, joined[1].name(), TOMAS.badge, NOW)
    assert "not told" not in desk.get("/shops/kit").text


GOOD = {
    "code": "T1", "kind": "target", "is": "board", "name": "Board", "condition": "good", "inspected_on": None,
    "inspection_due": "2026-03-31", "wrong": 0, "scans": 0,
}  # fmt: skip


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({}, "kit-format"),
        ({"baybook-kit": 2, "items": []}, "kit-newer"),
        ({"baybook-kit": 1, "items": [GOOD, GOOD]}, "kit-format"),
        ({"baybook-kit": 1, "items": [GOOD | {"inspection_due": "soon"}]}, "not-a-day"),
        ({"baybook-kit": 1, "items": [GOOD | {"wrong": -1}]}, "not-a-number"),
        ({"baybook-kit": 1, "items": [GOOD | {"name": "x" * 201}]}, "text-too-long"),
        ({"baybook-kit": 1, "items": [GOOD | {"name": "\x00"}]}, "bundle-format"),
        ({"baybook-kit": 1, "items": [GOOD | {"person": "Ada"}]}, "unknown-field"),
    ],
)
def test_what_is_no_kit_is_refused_and_the_last_one_stays(
    office: Office, shop: Shop, said: dict[str, Any], code: str
) -> None:
    good = {"baybook-kit": 1, "items": [GOOD]}
    assert shop.post("/office/kit", good, method="PUT").status == 200
    answer = shop.post("/office/kit", said, method="PUT")
    assert (answer.status, json.loads(answer.body)["error"]["code"]) == (400, code)
    assert told(office).keys() == {"T1"}
