"""Every procedure that ships is worked through in a real browser: on the shop's pages, and on a phone that is alone."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from random import Random
from types import MappingProxyType
from typing import Any

import pytest
from playwright.sync_api import Page, Playwright, expect

from webapp.core.plan import propose
from webapp.core.procedure import REASONS
from webapp.library.load import load
from webapp.paths import PROCEDURES
from webapp.storage.differences import differences_of
from webapp.storage.engine import engine, session
from webapp.storage.rehearsal.readings import readings_inside

from ..cast import NOOR
from . import shop
from .alone import Alone
from .kept import KeptBrowser, stocked
from .phone import Phone, Step
from .wire import Wire

pytestmark = pytest.mark.browser

LIBRARY = load(PROCEDURES)


TAP = """([wanted, typed]) => {
  for (const [name, value] of Object.entries(typed)) document.querySelector(`[data-main] [name=${name}]`).value = value;
  document.getElementById("job").dataset.old = "1";
  document.querySelector(`[data-main] ${wanted}`).click();
}"""


class Hurried(Phone):
    """Hands that tap at once, without waiting for a page to stand still as a finger would: there are many pages."""

    last = False  # which of several answers is given: the first, or the last one

    def tap(self, wanted: str, typed: Mapping[str, str] = MappingProxyType({})) -> None:
        self.page.evaluate(TAP, [wanted, dict(typed)])
        self.page.locator("#job:not([data-old])").wait_for()

    def main(self) -> None:
        self.tap("button.main")

    def do_choose(self, step: Step) -> None:
        free = [one["value"] for one in step["options"] if not one["blocks"]]
        self.tap(f"[name=option][value='{free[-1 if self.last else 0]}']")

    def do_scan(self, step: Step) -> None:
        """Each thing and then where it belongs, one after the other."""
        for wanted in (pair[what] for pair in step["pairs"] for what in ("target", "spot") if pair[what]):
            self.settle(lambda wanted=wanted: self.wedge(self.label(wanted)))

    def do_measure(self, step: Step) -> None:
        self.tap("button.main", readings_inside(step["measure"], Random(1)))


class HurriedAlone(Hurried, Alone):
    """The same, far from the shop."""


@dataclass(frozen=True)
class Work:
    """A vehicle, why it is here, and what is added to the plan. `last`: of several answers the last one is given."""

    vehicle: str
    reasons: tuple[str, ...]
    added: str | None = None
    last: bool = False

    def __str__(self) -> str:
        return self.vehicle

    @property
    def calibrations(self) -> set[str]:
        due = propose(LIBRARY, LIBRARY.vehicles[self.vehicle], self.reasons)
        return {one.procedure for one in due} | ({self.added} if self.added else set())


AT_THE_SHOP = [
    Work("selmora-hatch", REASONS),
    Work("orvane-saloon", ("steering-repaired",), added="night-view-camera", last=True),
]
ALONE = [
    Work("tavisk-carrier", REASONS, last=True),
    Work("kestovar-minibus", ("lidar-replaced",)),
]


@pytest.fixture(scope="module")
def shop_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("shop")


@pytest.fixture(scope="module")
def server(shop_folder: Path) -> Iterator[str]:
    """A shop of its own, since the day's check is done in it; with the shortest waits, since there are many."""
    with shop.serving(shop_folder, shop.quick_procedures(shop_folder / "procedures", seconds=1)) as address:
        yield address


@pytest.fixture(scope="module")
def kit(server: str, shop_folder: Path) -> dict[str, Any]:
    return shop.kit(shop_folder)


@pytest.fixture
def phone(page: Page, kit: dict[str, Any], photo: str) -> Hurried:
    return Hurried(page, kit, photo)


@pytest.fixture
def away(
    playwright: Playwright, network: Wire, kit: dict[str, Any], photo: str, tmp_path: Path
) -> Iterator[tuple[KeptBrowser, HurriedAlone]]:
    """A paired phone with the shop's shelf on board, and no network any more."""
    with stocked(playwright, tmp_path / "profile", network.address) as browser:
        network.cut()
        phone = HurriedAlone(browser.page, kit, photo)
        phone.badge(NOOR)
        yield browser, phone


def begin(page: Page, phone: Phone, work: Work) -> None:
    """From the Today page to the first step: VIN, qualifiers, reasons, plan."""
    vehicle = LIBRARY.vehicles[work.vehicle]
    page.goto("/jobs/new")
    phone.wedge((vehicle.vin[0].rstrip("*") + "4G2XK1000417")[:17])
    page.wait_for_url("**/intake**")
    for one in vehicle.qualifiers:
        page.locator(f"[name='q-{one.name}']").nth(-1 if work.last else 0).check()
    page.get_by_label("Repair order").fill("RO 20418")
    page.get_by_label("Odometer, km").fill("48 210")
    for reason in work.reasons:
        page.locator(f"[name=reasons][value='{reason}']").check()
    page.get_by_role("button", name="Plan the calibrations").click()
    start = page.get_by_role("button", name="Start the job")
    if work.added:
        page.get_by_text("Add a calibration").click()
        page.locator("#add").select_option(work.added)
        page.locator("#add-why").fill("Its window was replaced.")
        page.get_by_role("button", name="Add it").click()
        expect(page.get_by_text("Added: Its window was replaced.")).to_be_visible()
    start.click()
    page.locator("[data-step]").wait_for()


def settle(page: Page, phone: Phone) -> None:
    """Work until nothing is left."""
    phone.work()
    expect(page.get_by_role("heading", name="Everything is settled")).to_be_visible()


def finish(page: Page, phone: Phone) -> dict[str, Any]:
    """End the job, and return its sheet; every step that applied was done at the first go."""
    phone.main()
    expect(page.get_by_text("is finished.")).to_be_visible()
    sheet, state = phone.journal()[0], phone.state()
    assert state.phase == "finished"
    assert {one.status for one in state.steps.values()} == {"done"}
    assert {name.partition("/")[0] for name in state.steps} == {one["id"] for one in sheet["sections"]}
    return sheet


def test_every_calibration_is_worked_on_two_vehicles_and_in_both_ways() -> None:
    calibrations = {name for name, one in LIBRARY.procedures.items() if one.sort == "calibration"}
    assert len(calibrations) == 15
    assert set.union(*(one.calibrations for one in AT_THE_SHOP)) == calibrations
    assert set.union(*(one.calibrations for one in ALONE)) == calibrations
    assert not {one.vehicle for one in AT_THE_SHOP} & {one.vehicle for one in ALONE}


@pytest.mark.parametrize("work", AT_THE_SHOP, ids=str)
def test_every_procedure_is_completed_on_the_shop_s_pages(page: Page, phone: Hurried, work: Work) -> None:
    phone.badge(NOOR)
    phone.last = work.last
    begin(page, phone, work)
    settle(page, phone)
    sheet = finish(page, phone)
    assert {one["id"] for one in sheet["calibrations"]} == work.calibrations


@pytest.mark.parametrize("work", ALONE, ids=str)
def test_every_procedure_is_completed_by_a_phone_alone_and_comes_home(
    away: tuple[KeptBrowser, HurriedAlone], network: Wire, shop_folder: Path, work: Work
) -> None:
    browser, phone = away
    phone.last = work.last
    begin(browser.page, phone, work)
    settle(browser.page, phone)

    # The shop is in reach again, which checks the countersigns; then the job may end. It comes to the same state, and
    # would have decided nothing otherwise.
    network.heal()
    browser.page.reload()
    expect(browser.page.locator("[data-waits]")).to_have_count(0, timeout=180_000)
    sheet = finish(browser.page, phone)
    assert {one["id"] for one in sheet["calibrations"]} == work.calibrations
    browser.page.reload()
    expect(browser.page.locator("[data-truth=agree]")).to_be_visible(timeout=180_000)  # some 500 events, and photos
    assert Phone.state(phone).steps == phone.state().steps
    made = engine(f"sqlite:///{shop_folder / 'baybook.db'}")
    with session(made) as db:
        assert differences_of(db, phone.job) == []
    made.dispose()


def test_the_day_s_check_is_completed_on_the_shop_s_pages(page: Page, phone: Phone) -> None:
    phone.badge(NOOR)
    page.get_by_role("button", name="Begin the check").click()
    page.locator("[data-step]").wait_for()
    settle(page, phone)
    finish(page, phone)
