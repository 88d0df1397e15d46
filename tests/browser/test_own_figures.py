"""A vehicle that the shop wrote down itself is begun on a phone alone, and its sheet is the one the shop would make."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright, expect
from sqlalchemy.engine import Engine

from webapp.core.sheet import content_hash
from webapp.library.own import shipped
from webapp.paths import PROCEDURES
from webapp.storage import specs
from webapp.storage.differences import differences_of
from webapp.storage.engine import engine, session, writing
from webapp.storage.jobs import job_of

from ..cast import ADA, NOOR, TOMAS
from .alone import Alone
from .kept import KeptBrowser
from .wire import Wire

pytestmark = pytest.mark.browser

AT = "2026-03-02T08:00:00.000Z"
OWN_VIN = "0RVZZ4G2XK1000417"


@pytest.fixture
def shop_engine(server: str, shop_folder: Path) -> Iterator[Engine]:
    """The shop with a vehicle of its own, approved; withdrawn again, since other tests work in this shop too."""
    made = engine(f"sqlite:///{shop_folder / 'baybook.db'}")
    document = shipped(PROCEDURES).vehicles["orvane-wagon"].plain()
    own = document | {"vehicle": "orvane-estate", "model": "Estate", "vin": ["0RVZZ*"], "revision": 1}
    with writing(made) as db:
        specs.save(db, own, None, TOMAS.badge, AT)
        specs.approve(db, "orvane-estate", 1, ADA.badge, AT)
    yield made
    with writing(made) as db:
        specs.withdraw(db, "orvane-estate", ADA.badge, AT, "The test is over")
    made.dispose()


def test_a_vehicle_of_the_shops_own_is_begun_alone(
    playwright: Playwright, shop_engine: Engine, network: Wire, kit: dict[str, Any], photo: str, tmp_path: Path
) -> None:
    kept = KeptBrowser(playwright, tmp_path / "profile", network.address)
    kept.pair()
    kept.stock()
    network.cut()
    kept.restart()
    page, phone = kept.page, Alone(kept.page, kit, photo)
    phone.badge(NOOR)
    page.goto("/jobs/new")
    phone.wedge(OWN_VIN)
    page.wait_for_url("**/intake**")
    for choices in page.locator("fieldset .choices").all():
        if choices.locator("[type=radio]").count():
            choices.locator("[type=radio]").first.check()
    page.get_by_label("Repair order").fill("RO 9")
    page.get_by_label("Odometer, km").fill("10")
    page.get_by_label("Windscreen replaced").check()
    page.get_by_role("button", name="Plan the calibrations").click()
    page.get_by_role("button", name="Start the job").click()
    page.locator("[data-step]").wait_for()
    sheet, _events = phone.journal()
    assert (sheet["vehicle"]["id"], sheet["vehicle"]["model"]) == ("orvane-estate", "Estate")
    assert sheet["vehicle"]["approved"] == {"revision": 1, "by": ADA.name, "at": AT}
    network.heal()
    page.reload()
    expect(page.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)
    with session(shop_engine) as db:
        assert job_of(db, phone.job).sheet == content_hash(sheet)  # made again there, from the facts alone
        assert differences_of(db, phone.job) == []
    page.goto(f"/jobs/{phone.job}/record")
    expect(page.locator(".record")).to_contain_text("Revision 1 was approved by Ada Pereira")
    kept.context.close()
    assert kept.troubles == []
