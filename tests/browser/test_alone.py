"""The phone works a job without network and without server, and nothing of it is lost."""

import json
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image, ImageOps
from PIL.ExifTags import IFD
from playwright.sync_api import expect
from sqlmodel import select

from webapp.core.fold import fold
from webapp.storage.engine import engine, session
from webapp.storage.phone_tables import Difference

from ..cast import ADA
from .alone import PANELS, Alone
from .kept import KeptBrowser
from .phone import Phone
from .shop import CAMERA

pytestmark = pytest.mark.browser


def differences(shop_folder: Path) -> list[Difference]:
    """Where the server, deciding again, came out otherwise."""
    made = engine(f"sqlite:///{shop_folder / 'baybook.db'}")
    with session(made) as db:
        found = list(db.exec(select(Difference)))
    made.dispose()
    return found


def test_a_job_goes_on_without_network_through_a_reload_and_a_flat_battery(
    browser: KeptBrowser, alone: Alone, shop_folder: Path
) -> None:
    phone = alone
    job, at_server = phone.job, len(browser.page.request.get(f"/jobs/{phone.job}/journal.jsonl").text().splitlines())
    browser.context.set_offline(True)
    phone.work(until="/secured")  # choices, confirmations, measurements, scans by wedge, a photo
    done = {one.kind for one in phone.journal()[1]}
    assert done >= {"started", "chosen", "confirmed", "measured", "scanned", "photographed"}
    for panel in ("", *PANELS):
        assert phone.html(f"/{panel}" if panel else "") == phone.html_of_server(panel)

    # A countersign stands for now: the PIN is sealed for the shop, and nothing on the phone could tell it.
    phone.main()
    phone.countersign()
    signed = next(one for one in phone.journal()[1] if one.kind == "countersigned")
    assert signed.data["by"] == ADA.badge
    assert set(signed.data["seal"]) == {"key", "iv", "box"}
    expect(phone.page.locator("[data-provisional]")).to_contain_text("until the shop has checked")
    assert f'"{ADA.pin}"' not in json.dumps([phone.read(store) for store in ("events", "states")])

    lines = browser.page.request.get(f"/jobs/{job}/journal.jsonl").text().splitlines()
    assert len(lines) == at_server  # the shop has heard of nothing yet

    # The battery dies. The phone comes back to the same step with all of it, the photo too.
    before, step = phone.journal()[1], phone.at()
    browser.restart()
    browser.context.set_offline(True)
    phone.page = browser.page
    browser.page.goto(f"/jobs/{job}")
    assert phone.at() == step
    assert phone.journal()[1] == before
    (photo,) = phone.read("photos")
    assert photo["sha256"] in {one.data.get("sha256") for one in before}

    # It goes on alone, a countdown through a reload.
    phone.work(until="/settle")
    phone.main()
    browser.page.reload()
    phone.after_wait()
    phone.work(until="/hang-boards")
    assert "waited" in {one.kind for one in phone.journal()[1]}
    assert len({one.boot for one in phone.journal()[1] if one.device != "server"}) == 1  # no interval was guessed

    # Back in the network everything goes home by itself, once, and both sides find that they agree.
    browser.context.set_offline(False)
    browser.page.reload()
    expect(browser.page.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)
    sheet, theirs = Phone.journal(phone)
    # As values: a time on the full second is 1795570915 to the phone and 1795570915.0 to the server.
    assert sorted(theirs, key=lambda one: one.id) == sorted(phone.journal()[1], key=lambda one: one.id)
    assert fold(sheet, theirs) == phone.state()
    browser.page.reload()
    expect(browser.page.locator("#job")).to_be_visible()
    expect(browser.page.locator("[data-provisional]")).to_have_count(0)
    own = sorted((one for one in theirs if one.device != "server"), key=lambda one: one.seq)
    assert [one.before for one in own[1:]].count(None) == 0  # each follows on the one before it, restarts or not
    assert differences(shop_folder) == []  # the server decided everything as the phone did, and the PIN was right
    brought = browser.page.request.get(f"/photos/{photo['sha256']}.jpg")
    assert brought.status == 200
    assert CAMERA.encode() not in brought.body()  # nor anything else that the camera wrote beside the picture
    with Image.open(BytesIO(brought.body())) as image:
        assert not image.getexif().get_ifd(IFD.GPSInfo)
        assert ImageOps.exif_transpose(image).size == (1200, 1600)
