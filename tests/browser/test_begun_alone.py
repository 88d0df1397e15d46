"""A job is begun, planned and worked where there is no network at all, and comes home whole."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright, expect

from webapp.core.fold import fold
from webapp.core.sheet import content_hash
from webapp.storage.differences import differences_of
from webapp.storage.engine import engine, session
from webapp.storage.jobs import job_of

from ..cast import NOOR
from .alone import Alone
from .kept import KeptBrowser, stocked
from .phone import Phone
from .shop import VIN, take_in
from .wire import Wire

pytestmark = pytest.mark.browser

SURROUND, RADAR = "Surround-view cameras, floor patterns", "Forward radar, reflector plate"


@pytest.fixture
def browser(playwright: Playwright, network: Wire, tmp_path: Path) -> Iterator[KeptBrowser]:
    with stocked(playwright, tmp_path / "profile", network.address) as kept:
        yield kept


def test_a_job_is_begun_and_worked_without_network_and_comes_home_whole(
    browser: KeptBrowser, network: Wire, kit: dict[str, Any], photo: str, shop_folder: Path
) -> None:
    network.cut()
    browser.restart()
    phone = Alone(browser.page, kit, photo)
    phone.badge(NOOR)
    expect(browser.page.locator(".who")).to_have_text(f"{NOOR.name}, PIN to be checked")

    def at_plan() -> None:
        """One calibration more, one less; and a flat battery, which loses nothing of the plan."""
        page = browser.page
        page.get_by_text("Add a calibration").click()
        page.locator("#add").select_option(label=SURROUND)
        page.locator("#add-why").fill("The left mirror hangs loose.")
        page.get_by_role("button", name="Add it").click()
        expect(page.get_by_text("Added: The left mirror hangs loose.")).to_be_visible()
        page.locator("li", has_text=RADAR).get_by_text("Do not do this one").click()
        page.locator("#strike-forward-radar-static").fill("The radar was not touched.")
        page.get_by_role("button", name="Strike it").click()
        expect(page.get_by_text("Struck: The radar was not touched.")).to_be_visible()

    take_in(browser.page, phone, at_plan)
    job = phone.job
    expect(browser.page.locator("[data-ready]")).to_contain_text("ready offline")

    phone.work(until="/secured")  # choices, confirmations, measurements, scans by wedge, a photo
    done = {one.kind for one in phone.journal()[1]}
    assert done >= {"started", "chosen", "confirmed", "measured", "scanned", "photographed"}
    before, step = phone.journal()[1], phone.at()

    browser.restart()
    phone.page = browser.page
    browser.page.goto("/")
    row = browser.page.locator(f'a[href="/jobs/{job}"]')
    expect(row.locator("[data-ready]")).to_contain_text(f"{len(before) + 1} to send")  # a photo too
    row.click()
    assert (phone.at(), phone.journal()[1]) == (step, before)
    phone.main()
    phone.countersign()
    phone.work(until="/settle")

    network.heal()
    browser.page.reload()
    expect(browser.page.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)
    mine, _events = phone.journal()
    sheet, theirs = Phone.journal(phone)
    assert content_hash(sheet) == content_hash(mine)
    assert [one["id"] for one in sheet["calibrations"]] == ["forward-camera-static", "surround-view"]
    assert [(one["id"], one["why"]) for one in sheet["struck"]] == [
        ("forward-radar-static", "The radar was not touched.")
    ]
    assert fold(sheet, theirs) == phone.state()
    assert {one.device for one in theirs} == {before[0].device} != {"server"}
    made = engine(f"sqlite:///{shop_folder / 'baybook.db'}")
    with session(made) as db:
        row_there = job_of(db, job)
        assert (row_there.sheet, row_there.made_by) == (content_hash(mine), NOOR.badge)
        assert (row_there.vin, row_there.repair_order, row_there.odometer_km) == (VIN, "RO 20417", 48210.0)
        assert differences_of(db, job) == []
    made.dispose()
    assert browser.page.request.get("/phone/who").json()["person"]["code"] == NOOR.badge  # the shop was told, too


def test_a_draft_outlives_a_flat_battery_and_another_job_on_the_vin_is_pointed_out(
    browser: KeptBrowser, network: Wire
) -> None:
    network.cut()
    browser.restart()
    page = browser.page
    for number in (1, 2):
        page.goto("/jobs/new")
        page.locator("[data-wedge]").fill("0rvwa4g2xk1000420" if number == 1 else "0RVWA4G2XK1000420")
        page.locator("[data-wedge]").press("Enter")
        page.wait_for_url("**/intake**")
        expect(page.get_by_text("Small letters were made capitals.")).to_have_count(2 - number)
    expect(page.get_by_text("Another job is open on this VIN")).to_have_count(1)
    page.get_by_label("Repair order").fill("RO 7")
    page.get_by_label("Odometer, km").fill("48 21O")
    with page.expect_response(lambda answer: answer.status == 303):  # no button was tapped
        page.get_by_label("Odometer, km").fill("48210")
        page.get_by_label("Bay", exact=True).focus()
    url = page.url.partition("?")[0]
    page.get_by_role("button", name="Plan the calibrations").click()
    expect(page.locator("[role=alert]")).to_contain_text("reasons: none is ticked")

    browser.restart()
    browser.page.goto(url)
    expect(browser.page.get_by_label("Repair order")).to_have_value("RO 7")
    browser.page.get_by_role("link", name="Drop this job").click()
    browser.page.get_by_label("Reason").fill("The customer took it away.")
    browser.page.get_by_role("button", name="Drop it").click()
    expect(browser.page.locator("ul.jobs", has_text="abandoned")).to_contain_text("RO 7")


def test_what_only_the_shop_has_is_told_of_and_said_to_be_out_of_reach(
    browser: KeptBrowser, network: Wire, shop_folder: Path
) -> None:
    page = browser.page
    token = page.request.get("/phone/token").json()["token"]
    page.request.post("/jobs/new", form={"vin": "0RVWA4G2XK1000419", "token": token})  # past the phone, at the shop
    page.reload()
    expect(page.get_by_text("0RVWA4G2XK1000419")).to_be_visible(timeout=60_000)  # as soon as the phone has heard of it
    page.goto("/phone/pair")
    page.get_by_role("button", name="Make a code").click()  # the shop knows whose badge this phone took
    expect(page.locator("[data-code]")).to_be_visible()
    network.cut()
    browser.restart()
    page = browser.page
    page.goto("/")
    page.locator("a", has_text="0RVWA4G2XK1000419").click()
    expect(page.get_by_role("alert")).to_contain_text("the shop's network is out of reach")
    page.get_by_role("link", name="Back").click()
    page.get_by_role("button", name="Begin the check").click()
    page.locator("[data-step]").wait_for()
    page.goto("/")
    expect(page.get_by_text("equipment check is under way")).to_be_visible()
    network.heal()
    page.get_by_role("button", name="Go on with it").click()
    page.wait_for_url("**/jobs/**")
    job = page.url.rpartition("/")[2]
    page.reload()
    expect(page.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)
    made = engine(f"sqlite:///{shop_folder / 'baybook.db'}")
    with session(made) as db:
        found = job_of(db, job)
        assert (found.sort, found.phase, found.vehicle) == ("day", "open", None)
    made.dispose()
