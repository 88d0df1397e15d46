"""What is known of a job before it is started, and the pages that ask for it, are the same on both sides."""

import json
from random import Random
from typing import Any

import pytest

from tests.mirror.conftest import Mirror
from tests.mirror.playing import plain, random_history
from tests.mirror.taps import some_sheet
from webapp.core.errors import BaybookError
from webapp.core.intake import Facts, day_facts, known, new_facts, sheet_job, take, typed
from webapp.core.labels import Label, label_text, read_badge
from webapp.core.plan import changed
from webapp.core.procedure import REASONS
from webapp.core.shelf import shelf
from webapp.core.state import Clock
from webapp.core.view import shop, today
from webapp.core.view.intake import intake_view, new_view
from webapp.core.view.lock import lock_view
from webapp.core.view.plan import plan_view
from webapp.core.vin import read_vin
from webapp.library.load import load
from webapp.messages import say
from webapp.paths import PROCEDURES
from webapp.web import mustache

LIBRARY = load(PROCEDURES)
SHELF = json.loads(json.dumps(shelf(LIBRARY, say), sort_keys=True))  # no order of keys may be relied on
ODOMETERS = ["48 210", "", "0", "48210,5 km", "1 234 567", "far", "-1", "12 miles", "\u0661"]
SENT = [("pin", "1"), ("note", "<t>"), ("note", " "), ("pin", "2")]
REFUSED = {"code": "x", "field": "repair_order", "message": 'x="<1>" & so on'}


@pytest.fixture
def stocked(mirror: Mirror) -> Mirror:
    assert mirror.out("stock", SHELF) == len(LIBRARY.vehicles)
    return mirror


def vin(dice: Random) -> str:
    vehicle = dice.choice([*LIBRARY.vehicles.values()])
    return dice.choice([f"{vehicle.vin[0].rstrip('*')}XXXXXXXXXXXXXXXXX"[:17].replace("?", "1"), "YZ9RV4WF7R1000042"])


def kit(dice: Random) -> dict[str, Any]:
    """Some pieces of what the catalogue knows, some of them not to be used; and bays of any name."""
    found = {}
    for number, is_ in enumerate(LIBRARY.catalogue.targets):
        for piece in range(dice.randrange(3)):
            about = {"condition": dice.choice(["good", "damaged"]), "inspection_due": dice.choice([None, "2026-01-31"])}
            found[f"T{number}{piece}"] = {"kind": "target", "is": is_, "name": is_, **about}
    bays = {f"B{n}": {"kind": "bay", "is": "bay", "name": dice.choice(["Bay 2", "Bay 1", "Åre"])} for n in range(3)}
    bays["B1"]["plan"] = {"corners": [[1.0, 2.0], [1.0, -2.0], [-3.0, 0.0]], "obstacles": []}
    return found | bays


def form(dice: Random, facts: Facts) -> dict[str, Any]:
    """An intake form: mostly right, and sometimes wrong anywhere."""
    name = dice.choice([*LIBRARY.vehicles, *([facts["vehicle"]] if facts["vehicle"] else []) * 6, "", "moon-buggy"])
    vehicle = LIBRARY.vehicles.get(name)
    answers = {}
    for one in vehicle.qualifiers if vehicle else []:
        values = [option.value for option in one.options]
        answers[f"q-{one.name}"] = dice.choice([*values * 8, "", "six' x"])
    return {
        "vehicle": name,
        "asked": dice.choice([name, name, name, ""]),
        "go": dice.choice(["plan", "vehicle"]),
        "repair_order": dice.choice(["RO 7 <&>", "RO 7", " \u00a0RO ", "", "x" * 41, "\U0001f527" * 40]),
        "odometer_km": dice.choice(ODOMETERS[:4] * 4 + ODOMETERS),
        "reasons": dice.sample([*REASONS, "moved-house"], dice.randrange(4)),
        "lamps": dice.choice(["", "Lane", "x" * 501]) if dice.random() < 0.1 else "",
        "codes": "C1234",
        "bay": dice.choice(["", "B1", "B2", "NOWHERE"]),
        **answers,
    }


def told(rule: Any) -> dict[str, Any]:
    """What came of it, as the mirror tells it."""
    try:
        return {"out": plain(rule())}
    except BaybookError as error:
        return dict(error.as_dict())


def html(path: str, title: str, person: str | None, content: dict[str, Any]) -> str:
    return mustache.render("shop", shop.shop_page(path, title, person, content, say))


def test_a_job_begins_with_the_same_facts(stocked: Mirror) -> None:
    dice = Random("began")
    for _ in range(40):
        given = vin(dice)
        known, bay = kit(dice), dice.choice([None, "B1", "B2", "NOWHERE"])
        begun = new_facts(LIBRARY, "J1", given)
        wanted = {"facts": begun, "day": sheet_job(day_facts("J1")), "job": sheet_job(begun | {"bay": bay}, known)}
        assert stocked.out("began", {"job": "J1", "vin": given, "kit": known, "bay": bay}) == plain(wanted)
        assert ("floor_plan" in wanted["job"]) == (bay == "B1")


def test_an_intake_is_taken_or_refused_alike_and_shown_to_the_byte(stocked: Mirror) -> None:
    dice, seen = Random("intake"), set()
    for _ in range(400):
        facts, shop_kit = new_facts(LIBRARY, "J1", vin(dice)), kit(dice)
        sent = form(dice, facts)
        found = told(lambda facts=facts, sent=sent, shop_kit=shop_kit: take(LIBRARY, facts, sent, shop_kit))
        assert stocked.ask("took", {"facts": facts, "form": sent, "kit": shop_kit}) == found, sent
        error = found.get("error")
        seen.add(error["code"] if error else "taken")
        asked = {"facts": found.get("out", facts), "form": sent if error else None, "kit": shop_kit, "error": error}
        asked |= {"others": [facts] if dice.random() < 0.3 else [], "cleaned": ["blanks", "leading-i"]}
        values = typed(sent) if error else known(asked["facts"])
        view = intake_view(LIBRARY, asked["facts"], values, shop_kit, say, asked["others"], asked["cleaned"], error)
        assert stocked.out("intakePage", asked) == html("/jobs/x", "T", None, view)
    assert seen >= {
        "taken",
        "vehicle-missing",
        "text-too-long",
        "qualifier-unknown",
        "qualifier-missing",
        "bay-unknown",
    }
    assert seen >= {"order-missing", "missing", "reasons-missing", "wrong-unit", "out-of-range", "not-a-number"}


def planned_facts(dice: Random) -> Facts:
    vehicle = dice.choice([*LIBRARY.vehicles.values()])
    answers = {one.name: dice.choice(one.options).value for one in vehicle.qualifiers}
    facts = new_facts(LIBRARY, "J1", "YZ9RV4WF7R1000042")
    reasons = dice.sample(REASONS, dice.randrange(5))
    return facts | {"vehicle": vehicle.vehicle, "reasons": reasons, "qualifiers": answers, "repair_order": "RO <7>"}


def test_a_plan_is_changed_or_refused_alike_and_shown_to_the_byte(stocked: Mirror) -> None:
    dice, codes = Random("plan"), set()
    for _ in range(120):
        facts, shop_kit, error = planned_facts(dice), kit(dice), None
        vehicle, sent = LIBRARY.vehicles[facts["vehicle"]], {}
        for _ in range(dice.randrange(5)):
            reason = dice.choice(["Because <x>", "Because", " ", "y" * 2001])
            sent = {"do": dice.choice(["add", "strike", "restore", "dance"]), "reason": reason}
            sent["calibration"] = dice.choice([*vehicle.specs, *vehicle.specs, "moon-lamp"])
            found = told(lambda vehicle=vehicle, facts=facts, sent=sent: changed(vehicle, facts["plan"], sent))
            given = {"vehicle": vehicle.vehicle, "plan": facts["plan"], "form": sent}
            assert stocked.ask("changedPlan", given) == found
            error = found["error"]["message"] if "error" in found else None
            facts |= {"plan": found.get("out", facts["plan"])}
            codes.add(found["error"]["code"] if error else "changed")
        own = {
            name: (dice.uniform(60, 4000), dice.uniform(60, 9000), dice.randrange(5, 60)) for name in LIBRARY.procedures
        }
        times = {name: one for name, one in own.items() if dice.random() < 0.5}
        asked = {"facts": facts, "times": times, "kit": shop_kit, "today": "2026-03-02", "error": error}
        view = plan_view(LIBRARY, facts, times, shop_kit, "2026-03-02", say, error, sent if error else {})
        assert stocked.out("planPage", asked | {"typed": sent if error else {}}) == html("/jobs/x", "T", "N", view)
    assert codes == {"changed", "calibration-unknown", "do-unknown", "text-missing", "text-too-long"}


def test_the_new_job_page_and_the_small_ones_are_the_same_to_the_byte(stocked: Mirror) -> None:
    for vin_read in (None, "0RVWA4G2XK1000417", "1M8GDM9AXKP042789"):
        given = {"person": "N", "error": None if vin_read else "no <vin>", "text": "0RV", "vin": vin_read}
        view = new_view(say, given["error"], "0RV", read_vin(vin_read) if vin_read else None)
        assert stocked.out("newPage", given) == html("/jobs/new", "T", "N", view)
    facts = new_facts(LIBRARY, "J1", "0RVWA4G2XK1000417")
    dropped = facts | {"plan": facts["plan"] | {"dropped": "No <time>"}}
    for one, error in ((facts, None), (facts, REFUSED | {"field": "reason"}), (dropped, REFUSED)):
        given = {"facts": one, "person": "Noor", "role": "technician", "error": error, "text": "<t>"}
        views = [
            html("/badge", "B", "Noor", shop.badge_view("Noor", "technician", say, error and error["message"], "<t>")),
            html("/badge", "B", None, shop.pin_view("Noor", "<t>", say, error and error["message"], "/kit?a=1&b")),
            html("/badge", "B", None, shop.pin_view("Noor", "", say)),
            html("/kit", "K", "Noor", lock_view("<Noor>", 900, say)),
            html("/kit", "K", None, lock_view(None, 900, say)),
            html("/x", "D", "Noor", shop.drop_view(one, say, error, "<t>")),
            html("/x", "R", "Noor", shop.refused_view("<h>", "<t>")),
            html("/x", "A", "Noor", shop.again_view("/x?a=<1>", SENT, ["photo"], say)),
        ]
        assert stocked.out("smallPages", given) == views


def test_badges_are_read_and_refused_alike(mirror: Mirror) -> None:
    for text in (label_text(Label("badge", "DK4KV7")), label_text(Label("target", "L1")), "", "x", "BAY.P.DK4KV7.0"):
        assert mirror.ask("badge", {"text": text}) == told(lambda text=text: read_badge(text))


def test_today_is_the_same_to_the_byte(stocked: Mirror) -> None:
    dice = Random("today")
    truth = {"class": "kept", "text": say("job-kept-here", count=3), "ready": True}
    for number in range(24):
        sheet = some_sheet(dice)
        played = random_history(dice, sheet, dice.randrange(1, 25))
        now = Clock("2026-03-02T12:00:00.000Z", 9e6, "b")
        check = {"status": dice.choice(["valid", "running", "due"]), "job": "D1", "time": "08:15"}
        facts = planned_facts(dice) | {"phase": dice.choice(["finished", "abandoned"])}
        rows = [facts, facts | {"vehicle": None}, facts | {"vehicle": None, "vin": "", "repair_order": ""}]
        rows = rows if number % 3 else []
        asked = {"check": check, "open": [{"sheet": sheet, "state": plain(played.state)}] if number % 4 else [],
                 "away": rows, "planned": rows, "ended": rows, "now": plain(now), "truth": truth,
                 "waiting": number % 3, "release": number % 5 or None}  # fmt: skip
        row = today.to_look_at(today.open_row(sheet, played.state, now, say, truth), say)
        opened = [row] if number % 4 else []
        opened += [today.away_row(LIBRARY, one, say) for one in rows]
        planned = [today.planned_row(LIBRARY, one, say) for one in rows]
        ended = [today.ended_row(LIBRARY, one, "2026-03-02", f"/jobs/{one['id']}", say) for one in rows]
        view = today.today_view(check, opened, planned, ended, say, number % 3, number % 5 or None)
        assert stocked.out("todayPage", asked) == html("/", "Today", None, view)
