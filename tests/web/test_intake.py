"""Intake: the VIN by scanner, photo or keys, then what the vehicle is and why it is here. Nothing typed is lost."""

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image
from sqlalchemy.engine import Engine
from sqlmodel import col, select
from werkzeug.test import TestResponse

from tests.cast import ADA, NOOR, scan_badge, thing
from webapp.config import Settings
from webapp.core.procedure import REASONS, Library
from webapp.storage.engine import session, writing
from webapp.storage.tables import Job

from .job import VIN, begin
from .markup import Page
from .trouble import Trouble, full, locked
from .upload import NO_PHOTOS, code_photo, form_with, stored

AMERICAN = "1M8GDM9AXKP042788"  # the worked example of 49 CFR 565.15: its check digit is X


def jobs(engine: Engine) -> list[Job]:
    with session(engine) as db:
        return list(db.exec(select(Job).order_by(col(Job.created_at))))


def read(client: FlaskClient, vin: str, **more: str) -> TestResponse:
    return client.post("/jobs/new", data={"vin": vin, **more})


def begun(client: FlaskClient, vin: str = VIN) -> str:
    """The address of a new job's intake."""
    answer = read(client, vin)
    assert answer.status_code == 303, answer.text
    return answer.headers["Location"].partition("?")[0]


def filled(**more: Any) -> dict[str, Any]:
    """The intake form, filled in as for the Orvane Wagon."""
    usual = {
        "vehicle": "orvane-wagon",
        "asked": "orvane-wagon",
        "q-driven-axles": "front",
        "q-wheel-size": "standard",
        "repair_order": "RO 20417",
        "odometer_km": "48 210",
        "reasons": ["windscreen-replaced", "radar-replaced"],
        "lamps": "Lane keeping",
        "codes": "C1234",
        "bay": "",
        "go": "plan",
    }
    return usual | more


# --- the VIN


def test_a_wedge_scan_needs_no_click_the_field_has_the_focus_and_enter_sends_it(client: FlaskClient) -> None:
    page = Page(client.get("/jobs/new").text)
    field = page.one("input", name="vin")
    assert field.has("autofocus")
    assert field.has("data-wedge")
    forms = [up for up in field.inside if up.tag == "form"]
    sends = [one for one in page.all("button") if not one.has("type") and forms[0] in one.inside]
    assert len(sends) == 1


def test_a_vin_makes_a_job_and_is_read_back_in_groups(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, NOOR)
    page = Page(client.get(begun(client)).text)
    assert "0RV WA4G2X K100 0417" in page.text
    (job,) = jobs(demo_engine)
    assert (job.vin, job.vehicle, job.phase, job.made_by) == (VIN, "orvane-wagon", "planning", NOOR.badge)
    assert page.one("option", value="orvane-wagon").has("selected")
    assert "the VIN fits" in page.one("option", value="orvane-wagon").text


@pytest.mark.parametrize(
    ("scanned", "notices"),
    [
        (f"*{VIN}*\r\n", ["line end was taken off", "stars around the bar code were taken off"]),
        (f"I{VIN}", ["A leading I"]),
        (VIN.lower(), ["Small letters were made capitals"]),
        ("0RV WA4G2X K100 0417", ["Blanks were taken out"]),
        (VIN, []),
    ],
)
def test_what_a_scanner_adds_is_cleaned_off_and_the_page_says_so(
    client: FlaskClient, demo_engine: Engine, scanned: str, notices: list[str]
) -> None:
    page = Page(client.get(read(client, scanned).headers["Location"]).text)
    assert jobs(demo_engine)[0].vin == VIN
    told = [one.text for one in page.all("p", class_="notice")]
    assert len(told) == len(notices)
    assert all(any(notice in one for one in told) for notice in notices)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "vin is empty: scan or type the 17 characters"),
        ("   ", "vin is empty"),
        (VIN[:16], f"vin='{VIN[:16]}' must have 17 characters, not 16"),
        (VIN + "8", f"vin='{VIN}8' must have 17 characters, not 18"),
        ("0RVWA4G2XKI000417", "position 11: a VIN has no I; is it 1?"),
        ("0RVWA4G2XKO000417", "position 11: a VIN has no O; is it 0?"),
        ("0RVWA4G2XKQ000417", "position 11: a VIN has no Q; is it 0?"),
        ("0RVWА4G2XK1000417", "position 5: Cyrillic А looks like Latin A"),
        ("0RVWA4G2XК1000417", "position 10: Cyrillic К looks like Latin K"),
        ("0RVWA4G2XΚ1000417", "position 10: Greek Κ looks like Latin K"),
        ("0RVWA4G2X-1000417", "position 10: '-' must be a letter A to Z or a digit"),
        ("0RVWA4G2XK100041٧", "must be a letter A to Z or a digit"),
        ("https://example.org/vin/0RVWA4G2XK1000417", "must have 17 characters, not 41"),
        ("x" * 3000, "(3000 characters) must have 17 characters, not 3000"),
        ("<script>alert(1)</", "must have 17 characters"),
    ],
)
def test_what_is_no_vin_is_refused_by_name_and_value_and_stays_in_the_field(
    client: FlaskClient, demo_engine: Engine, typed: str, says: str
) -> None:
    answer = read(client, typed)
    assert answer.status_code == 400
    page = Page(answer.text)
    assert says in page.one("div", role="alert").text
    assert page.value("vin") == [typed[:200]]
    assert page.one("input", name="vin")["aria-invalid"] == "true"
    assert page.all("script", src="") == [one for one in page.all("script") if one.has("src")]
    assert jobs(demo_engine) == []


def test_a_misread_american_vin_is_compared_with_the_vehicle_before_it_is_taken(
    client: FlaskClient, demo_engine: Engine
) -> None:
    assert read(client, AMERICAN).status_code == 303
    wrong = AMERICAN[:-1] + "9"
    page = Page(read(client, wrong).text)
    assert "1M8 GDM9AX KP04 2789" in page.text
    assert "one character was misread" in page.text
    assert len(jobs(demo_engine)) == 1
    confirmed = page.forms()[0].fields
    assert client.post("/jobs/new", data=confirmed).status_code == 303
    assert [job.vin for job in jobs(demo_engine)] == [AMERICAN, wrong]


def test_a_confirmation_is_of_that_vin_only(client: FlaskClient, demo_engine: Engine) -> None:
    assert read(client, AMERICAN[:-1] + "9", confirmed=AMERICAN[:-1] + "7").status_code == 200
    assert jobs(demo_engine) == []


@pytest.mark.parametrize(
    ("symbology", "kind"),
    [("qr", "PNG"), ("code-128", "PNG"), ("data-matrix", "PNG"), ("code-39", "PNG"), ("qr", "JPEG"), ("qr", "HEIF")],
)
def test_a_photo_of_the_vin_is_as_good_as_a_scan(
    client: FlaskClient, demo_engine: Engine, symbology: str, kind: str
) -> None:
    photo = code_photo(AMERICAN, symbology, kind)
    answer = client.post("/jobs/new", **form_with({"vin": ""}, photo))
    assert answer.status_code == 303
    assert [job.vin for job in jobs(demo_engine)] == [AMERICAN]


def test_a_photo_whose_vin_proves_nothing_by_itself_is_taken_or_compared_but_never_guessed(
    client: FlaskClient, demo_engine: Engine
) -> None:
    answer = client.post("/jobs/new", **form_with({"vin": ""}, code_photo(VIN, "code-39")))
    if answer.status_code == 200:
        page = Page(answer.text)
        assert "Compare every group" in page.text
        assert client.post("/jobs/new", data=page.forms()[0].fields).status_code == 303
    assert [job.vin for job in jobs(demo_engine)] == [VIN]


@pytest.mark.parametrize("name", NO_PHOTOS)
def test_a_photo_that_is_none_is_refused_and_the_typed_text_stays(
    client: FlaskClient, demo_engine: Engine, name: str
) -> None:
    photo, says = NO_PHOTOS[name]
    answer = client.post("/jobs/new", **form_with({"vin": "0RVWA4"}, photo))
    assert answer.status_code == 400
    page = Page(answer.text)
    assert says in page.one("div", role="alert").text
    assert page.value("vin") == ["0RVWA4"]
    assert jobs(demo_engine) == []


@pytest.mark.parametrize(
    ("photo", "says"),
    [
        (stored(Image.new("RGB", (800, 600), "white")), "no code could be read in photo"),
        (code_photo("https://example.org/p/1"), "photo shows 'https://example.org/p/1', which is not a VIN"),
        (code_photo("BAY.T.P-1.V"), "photo shows 'BAY.T.P-1.V', which is not a VIN"),
    ],
)
def test_a_photo_without_a_vin_says_what_it_shows_and_what_to_do(
    client: FlaskClient, demo_engine: Engine, photo: bytes, says: str
) -> None:
    answer = client.post("/jobs/new", **form_with({"vin": ""}, photo))
    assert answer.status_code == 400
    assert says in Page(answer.text).one("div", role="alert").text
    assert jobs(demo_engine) == []


# --- the vehicle


def test_a_vin_of_no_known_model_asks_for_the_model_and_says_what_that_means(client: FlaskClient) -> None:
    page = Page(client.get(begun(client, "YZ9RV4WF7R1000042")).text)
    assert "No model of the library fits this VIN" in page.text
    assert page.all("input", name="repair_order") == []
    assert not any(one.has("selected") for one in page.all("option"))


def test_choosing_a_model_brings_its_own_questions(client: FlaskClient, library: Library) -> None:
    url = begun(client, "YZ9RV4WF7R1000042")
    assert client.post(url, data={"vehicle": "tavisk-carrier", "go": "vehicle"}).headers["Location"] == url
    page = Page(client.get(url).text)
    asked = {one["name"] for one in page.all("input", type="radio")}
    assert asked == {f"q-{one.name}" for one in library.vehicles["tavisk-carrier"].qualifiers}
    assert {one["value"] for one in page.all("input", name="reasons")} == set(REASONS)


def test_another_model_keeps_what_was_typed_and_asks_its_own_questions(
    client: FlaskClient, demo_engine: Engine
) -> None:
    url = begun(client)
    client.post(url, data=filled(vehicle="selmora-hatch", go="vehicle"))
    page = Page(client.get(url).text)
    assert page.value("repair_order") == ["RO 20417"]
    assert jobs(demo_engine)[0].qualifiers == {}
    assert page.all("input", name="q-radar-cover") != []


def test_a_second_open_job_on_the_vin_is_pointed_out(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings
) -> None:
    running = begin(client, demo_engine, library, shop.photos, "/chock")
    page = Page(client.get(begun(client)).text)
    assert "Another job is open on this VIN" in page.text
    assert page.one("a", href=running.url).text == "RO 20417"
    begin(client, demo_engine, library, shop.photos)
    other = Page(client.get(begun(client, AMERICAN)).text)
    assert "Another job is open" not in other.text


def test_a_complete_intake_is_kept_and_leads_to_the_plan(client: FlaskClient, demo_engine: Engine) -> None:
    with session(demo_engine) as db:
        bay = thing(db, "bay").code
    url = begun(client)
    answer = client.post(url, data=filled(bay=bay, odometer_km="48 210 km"))
    assert answer.headers["Location"] == url.replace("intake", "plan")
    (job,) = jobs(demo_engine)
    assert (job.repair_order, job.odometer_km, job.bay) == ("RO 20417", 48210.0, bay)
    assert job.reasons == ["windscreen-replaced", "radar-replaced"]
    assert job.qualifiers == {"driven-axles": "front", "wheel-size": "standard"}
    assert (job.lamps, job.codes) == ("Lane keeping", "C1234")
    page = Page(client.get(url).text)
    assert page.value("odometer_km") == ["48210"]


@pytest.mark.parametrize(
    ("typed", "kept"), [("48210,5", 48210.5), ("48210.5", 48210.5), ("48\u202f210", 48210.0), ("0", 0.0)]
)
def test_an_odometer_is_read_with_comma_or_point(
    client: FlaskClient, demo_engine: Engine, typed: str, kept: float
) -> None:
    client.post(begun(client), data=filled(odometer_km=typed))
    assert jobs(demo_engine)[0].odometer_km == kept


@pytest.mark.parametrize(
    ("change", "field", "says"),
    [
        ({"vehicle": ""}, "vehicle", "vehicle is not chosen"),
        ({"vehicle": "moon-buggy"}, "vehicle", "vehicle is not chosen"),
        ({"repair_order": ""}, "repair_order", "repair_order is empty; type the number"),
        ({"repair_order": "x" * 41}, "repair_order", "repair_order has 41 characters; at most 40 are kept"),
        ({"odometer_km": ""}, "odometer_km", "odometer_km is missing"),
        ({"odometer_km": "30 miles"}, "odometer_km", "odometer_km='30 miles' must be in km"),
        ({"odometer_km": "-1"}, "odometer_km", "odometer_km='-1' must lie within 0 to 5000000"),
        ({"odometer_km": "inf"}, "odometer_km", "odometer_km='inf' must be a finite number in km"),
        ({"odometer_km": "∞ km"}, "odometer_km", "must be a finite number in km"),
        ({"odometer_km": "nan"}, "odometer_km", "odometer_km='nan' must be a finite number in km"),
        ({"odometer_km": "lots"}, "odometer_km", "odometer_km='lots' must be one number in km"),
        ({"reasons": []}, "reasons", "none is ticked; tick why the vehicle is here"),
        ({"reasons": ["moved-house"]}, "reasons", "none is ticked"),
        ({"q-driven-axles": ""}, "q-driven-axles", "driven-axles is not answered"),
        ({"q-driven-axles": "six"}, "q-driven-axles", "driven-axles='six' is none of front, all"),
        ({"bay": "NOWHERE"}, "bay", "bay='NOWHERE' is none of the shop's bays"),
        ({"lamps": "x" * 3000}, "lamps", "lamps has 3000 characters; at most 500 are kept"),
    ],
)
def test_what_is_missing_or_wrong_is_named_and_everything_typed_is_still_there(
    client: FlaskClient, demo_engine: Engine, change: dict[str, Any], field: str, says: str
) -> None:
    url, sent = begun(client), filled(**change)
    answer = client.post(url, data=sent)
    assert answer.status_code == 400
    page = Page(answer.text)
    assert says in page.one("div", role="alert").text
    (job,) = jobs(demo_engine)
    assert (job.repair_order, job.reasons, job.odometer_km) == ("", [], None)  # nothing half taken
    if not page.all("input", name="repair_order"):
        assert field == "vehicle"
        return
    for name in ("repair_order", "odometer_km", "lamps", "codes"):
        assert page.value(name) == [sent[name]], name
    ticked = [one["value"] for one in page.all("input", name="reasons") if one.has("checked")]
    assert set(ticked) == set(sent["reasons"]) & set(REASONS)
    if field in ("repair_order", "odometer_km", "bay", "lamps"):
        assert page.one("", name=field)["aria-invalid"] == "true"


def test_an_intake_without_a_model_keeps_what_was_typed(client: FlaskClient) -> None:
    page = Page(client.post(begun(client), data=filled(vehicle="")).text)
    assert page.value("repair_order") == ["RO 20417"]


def test_a_job_that_was_started_has_no_intake_any_more(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings
) -> None:
    job = begin(client, demo_engine, library, shop.photos, "/chock")
    assert client.get(f"{job.url}/intake").headers["Location"] == job.url
    assert client.post(f"{job.url}/intake", data=filled(repair_order="RO 2")).headers["Location"] == job.url
    with session(demo_engine) as db:
        found = db.get(Job, job.id)
    assert found is not None
    assert found.repair_order == "RO 20417"


# --- a disk that is full, a database that is locked


@pytest.mark.parametrize(
    ("trouble", "says"), [(locked, "The database is busy"), (full, "The disk of the shop's computer is full")]
)
def test_a_vin_that_cannot_be_kept_stays_in_the_field(
    client: FlaskClient, impatient: Engine, trouble: Trouble, says: str
) -> None:
    scan_badge(client, ADA)
    with trouble(impatient):
        kept = 0
        while (answer := read(client, VIN)).status_code == 303 and kept < 200:
            kept += 1
    assert answer.status_code == 503
    page = Page(answer.text)
    assert says in page.one("div", role="alert").text
    assert page.value("vin") == [VIN]
    assert len(jobs(impatient)) == kept
    assert read(client, VIN).status_code == 303


def test_an_intake_that_cannot_be_kept_comes_back_whole(client: FlaskClient, impatient: Engine) -> None:
    url = begun(client)
    with locked(impatient):
        answer = client.post(url, data=filled())
    assert answer.status_code == 503
    page = Page(answer.text)
    assert "The database is busy" in page.one("div", role="alert").text
    assert page.value("repair_order") == ["RO 20417"]
    assert page.value("q-driven-axles") == ["front"]
    assert jobs(impatient)[0].repair_order == ""
    assert client.post(url, data=filled()).status_code == 303


def test_a_bay_that_was_taken_off_the_list_meanwhile_is_no_breakdown(
    client: FlaskClient, app: Flask, demo_engine: Engine
) -> None:
    with writing(demo_engine) as db:
        bay = thing(db, "bay")
        code = bay.code
        db.delete(bay)
    answer = client.post(begun(client), data=filled(bay=code))
    assert answer.status_code == 400
    assert f"bay='{code}' is none of the shop's bays" in Page(answer.text).text
