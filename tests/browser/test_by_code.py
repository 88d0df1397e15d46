"""A hold point vouched for without the shop: two phones show each other codes, and each sees pictures of them."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Page, Playwright, expect

from ..cast import ADA, ILYA
from . import shop
from .alone import READ, Alone
from .camera import SIZE, film, flags
from .kept import KeptBrowser, stocked
from .phone import begin
from .test_three_phones import SHOWS
from .until import until
from .wire import Wire

pytestmark = pytest.mark.browser

HAS_READER = """async () => {
  navigator.serviceWorker.controller.postMessage("sync");
  const kept = await caches.match("/static/vendor/zxing/zxing_reader.wasm");
  return Boolean(kept && (await caches.match("/static/app/reader/worker.js")));
}"""
# The key that this phone signs with, as its disk has it: whether it can be taken out.
KEY = """() => new Promise((done, failed) => {
  const opening = indexedDB.open("baybook");
  opening.onerror = () => failed(opening.error);
  opening.onsuccess = () => {
    const reading = opening.result.transaction("device").objectStore("device").get("me");
    reading.onsuccess = async () => {
      opening.result.close();
      const { key } = reading.result;
      const taken = await Promise.all(["jwk", "pkcs8", "raw"].map((format) =>
        crypto.subtle.exportKey(format, key).then(() => "given out", (error) => error.name)));
      done({ type: key.type, extractable: key.extractable, usages: key.usages, taken });
    };
  };
})"""

# The code is scanned off the page whatever else stands there; and where the data is can be read beside it.
UNCOVERED = """() => {
  const [code, foot] = ["svg.code", ".foot"].map((one) => document.querySelector(one).getBoundingClientRect());
  return code.bottom <= foot.top;
}"""
READ_WHOLE = """() => {
  const truth = document.querySelector("a.truth");
  return truth.scrollWidth <= truth.clientWidth && truth.getBoundingClientRect().right <= innerWidth;
}"""


class Two:
    """An apprentice's phone and a supervisor's, side by side; whatever one shows, the other sees as a picture."""

    def __init__(self, apprentice: KeptBrowser, supervisor: KeptBrowser, folder: Path) -> None:
        self.asks, self.answers, self.folder = apprentice.page, supervisor.page, folder
        self.film = folder / "film.mjpeg"

    def picture(self, page: Page, name: str) -> str:
        """What the code on that page looks like, as a file."""
        path = self.folder / f"{name}.png"
        page.locator("svg.code").screenshot(path=path)
        return str(path)

    def ask(self, name: str = "ask") -> str:
        self.asks.get_by_role("link", name="Ask a supervisor's phone").click()
        expect(self.asks.locator("svg.code")).to_be_visible()
        return self.picture(self.asks, name)

    def look(self, picture: str) -> None:
        """On the supervisor's phone, from Today, with its camera held to the other phone's screen."""
        seen = Image.new("RGB", SIZE, "#31363a")
        code = Image.open(picture).convert("RGB").resize((620, 620))
        seen.paste(code, ((SIZE[0] - 620) // 2, (SIZE[1] - 620) // 2))
        film(self.film, seen)
        self.answers.goto("/")
        self.answers.get_by_role("link", name="Scan a colleague's code").click()
        self.answers.get_by_role("button", name="Scan the code").click()

    def accept(self) -> str:
        self.answers.get_by_role("button", name="Accept").click()
        expect(self.answers.get_by_role("heading", name="Accepted")).to_be_visible()
        return self.picture(self.answers, "accepted")

    def send_back(self, reason: str) -> str:
        self.answers.get_by_text("Send it back").first.click()
        self.answers.locator("#return").fill(reason)
        self.answers.get_by_role("button", name="Send it back").click()
        expect(self.answers.get_by_role("heading", name="Sent back")).to_be_visible()
        return self.picture(self.answers, "returned")

    def take(self, picture: str) -> None:
        """On the apprentice's phone, from a photo of the other phone's screen."""
        self.asks.get_by_role("button", name="Scan the answer").click()
        self.asks.locator("[data-camera-photo]").set_input_files(picture)


@pytest.fixture
def apprentice(playwright: Playwright, network: Wire, tmp_path: Path) -> Iterator[KeptBrowser]:
    yield from _phone(playwright, network, tmp_path / "apprentice")


@pytest.fixture
def supervisors_network(server: str) -> Iterator[Wire]:
    """The supervisor's phone reaches the shop on a way of its own."""
    wire = Wire(int(server.rpartition(":")[2]))
    yield wire
    wire.close()


@pytest.fixture
def supervisor(playwright: Playwright, supervisors_network: Wire, tmp_path: Path) -> Iterator[KeptBrowser]:
    film(tmp_path / "film.mjpeg", Image.new("RGB", SIZE, "#31363a"))
    yield from _phone(playwright, supervisors_network, tmp_path / "supervisor", *flags(tmp_path / "film.mjpeg"))


@pytest.fixture
def two(apprentice: KeptBrowser, supervisor: KeptBrowser, tmp_path: Path) -> Two:
    supervisor.context.grant_permissions(["camera"])
    return Two(apprentice, supervisor, tmp_path)


def _phone(playwright: Playwright, network: Wire, profile: Path, *more: str) -> Iterator[KeptBrowser]:
    with stocked(playwright, profile, network.address, more) as kept:
        until(kept.page, HAS_READER)
        yield kept


@pytest.fixture
def learner(two: Two, kit: dict[str, Any], photo: str) -> Alone:
    """An apprentice at a hold point, on a job of which the shop has heard; the supervisor has begun their own phone."""
    begin(two.answers, ADA)
    phone = Alone(two.asks, kit, photo)
    phone.badge(ILYA)
    shop.take_in(two.asks, phone)
    two.asks.reload()
    expect(two.asks.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)
    phone.work("reference-axis/chock")
    phone.main()
    expect(two.asks.locator(".hold")).to_be_visible()
    return phone


def test_a_hold_point_is_sent_back_and_accepted_by_codes_and_the_job_ends_once_the_shop_has_checked(
    two: Two, learner: Alone, manager: Page, network: Wire, supervisors_network: Wire
) -> None:
    network.cut()
    supervisors_network.cut()
    two.look(two.ask())
    expect(two.answers.locator("main")).to_contain_text(ILYA.name)
    expect(two.answers.locator("main")).to_contain_text("RO 20417")
    returned = two.send_back("The left chock is loose.")
    two.take(returned)
    expect(two.asks.locator("[data-returned]")).to_contain_text("The left chock is loose.")

    learner.main()
    again = two.ask("again")
    two.take(returned)
    expect(two.asks.get_by_role("alert")).to_contain_text("answer is to another code than the one asked here")
    assert two.asks.evaluate(UNCOVERED)
    assert two.asks.evaluate(READ_WHOLE)
    two.look(again)
    two.take(two.accept())
    expect(two.asks.locator("[data-step]")).not_to_have_attribute("data-step", "reference-axis/chock")
    expect(two.asks.locator("[data-provisional]")).to_be_visible()
    network.heal()
    two.asks.reload()
    expect(two.asks.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)
    two.asks.reload()
    expect(two.asks.locator("[data-provisional]")).to_have_count(0)
    expect(two.asks.locator(".apart")).to_have_count(0)

    learner.work("hand-over/release")
    job = learner.job
    network.cut()
    begin(two.answers, ADA)  # of which the shop has still to hear
    two.look(two.ask("release"))
    two.take(two.accept())
    waits = two.asks.locator("[data-waits]")
    expect(waits).to_contain_text("A countersign is still to be checked by the shop")
    expect(two.asks.get_by_role("button", name="Finish the job")).to_have_count(0)
    network.heal()
    until(two.asks, SHOWS, [f"/jobs/{job}", "has not heard yet who had begun"])
    supervisors_network.heal()
    until(two.answers, SHOWS, ["/", f">{ADA.name}<"])  # and no word any more of a PIN to be checked
    until(two.asks, SHOWS, [f"/jobs/{job}", "Finish the job</button>"])
    two.asks.reload()
    expect(waits).to_have_count(0)
    two.asks.get_by_role("button", name="Finish the job").click()
    expect(two.asks.get_by_text("This job is finished.")).to_be_visible()
    expect(two.asks.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)

    manager.goto(f"/jobs/{job}/record")
    expect(manager.locator("main")).to_contain_text("The left chock is loose.")
    expect(manager.locator("main")).to_contain_text(ADA.name)
    assert manager.get_by_text("Look at this", exact=False).count() == 0


def test_the_key_that_a_phone_signs_with_cannot_be_taken_out_of_it(browser: KeptBrowser) -> None:
    browser.pair()
    found = browser.page.evaluate(KEY)
    assert found == {
        "type": "private",
        "extractable": False,
        "usages": ["sign"],
        "taken": ["InvalidAccessError"] * 3,
    }
    me = next(one for one in browser.page.evaluate(READ, ["device", None]) if one["name"] == "me")
    assert "d" not in me["public"]
