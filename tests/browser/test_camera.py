"""The phone's camera as a scanner: a moving picture or a photo, with the shop's network and without it."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Playwright, expect

from webapp.core.fold import step_of
from webapp.storage.rehearsal.labels import next_label

from ..cast import ILYA, NOOR, Someone
from . import camera, shop
from .alone import Alone
from .kept import KeptBrowser
from .shop import VIN, take_in
from .until import until
from .wire import Wire

pytestmark = pytest.mark.browser
expect.set_options(timeout=120_000)  # decoding in WebAssembly shares the machine with whatever else it does

DECODER_KEPT = """async () => {
  const name = (await caches.keys()).find((one) => one.startsWith("decoder-"));
  const kept = name ? await (await caches.open(name)).keys() : [];
  return kept.some((one) => one.url.endsWith(".wasm")) && kept.length === 2;
}"""
# A detector of the platform's own that says what it knows and then cannot do it, as where its service is missing.
BROKEN_DETECTOR = """globalThis.BarcodeDetector = class {
  static async getSupportedFormats() { return ["qr_code", "data_matrix", "code_39", "code_128"]; }
  async detect() { globalThis.detectorAsked(); throw new DOMException("no service", "NotSupportedError"); }
};"""

# What the camera is doing at the very moment in which the view goes.
HOW_IT_CLOSES = """() => {
  const video = document.querySelector("video");
  const [track] = video.srcObject.getTracks();
  const note = () => { globalThis.whenClosed = [track.readyState, video.srcObject]; };
  new MutationObserver(note).observe(video.closest("dialog"), { attributeFilter: ["open"] });
}"""


@pytest.fixture
def film(tmp_path: Path) -> Callable[..., None]:
    """What the camera is to see from now on."""
    path = tmp_path / "camera.mjpeg"

    def show(*pictures: Image.Image) -> None:
        camera.film(path, *pictures)

    show(camera.view())
    return show


@pytest.fixture
def eyes(playwright: Playwright, tmp_path: Path, film: object) -> Iterator[Browser]:
    flags = [*shop.FLAGS, *camera.flags(tmp_path / "camera.mjpeg"), "--host-resolver-rules=MAP shop.test 127.0.0.1"]
    browser = playwright.chromium.launch(executable_path=shop.CHROMIUM, args=flags)
    yield browser
    browser.close()


@pytest.fixture
def context(eyes: Browser, server: str) -> BrowserContext:
    made = eyes.new_context(viewport=shop.PHONE, base_url=server, permissions=["camera"])
    made.set_default_timeout(30_000)
    return made


@pytest.fixture
def page(context: BrowserContext) -> Iterator[Page]:
    opened = context.new_page()
    troubles: list[str] = []
    opened.on("pageerror", lambda error: troubles.append(str(error)))
    opened.on("console", lambda said: troubles.append(said.text) if "Content Security Policy" in said.text else None)
    yield opened
    assert troubles == []


def open_camera(page: Page) -> Locator:
    """Open the camera's view; returns what it says."""
    page.get_by_role("button", name="Scan with camera").click()
    return page.locator("[data-camera-says]")


def is_here(page: Page, someone: Someone) -> None:
    """The badge was read: their PIN is asked for."""
    expect(page.locator(".pin:visible h1")).to_have_text(someone.name)


def test_a_badge_is_read_from_the_moving_picture_and_the_view_closes_by_itself(
    page: Page, film: Callable[..., None]
) -> None:
    film(camera.view(NOOR.label))
    page.goto("/badge")
    open_camera(page)
    is_here(page, NOOR)


def test_of_two_codes_in_sight_none_is_taken(page: Page, film: Callable[..., None]) -> None:
    film(camera.view(NOOR.label, ILYA.label))
    page.goto("/badge")
    says = open_camera(page)
    expect(says).to_contain_text("More than one code in sight")
    film(camera.view(ILYA.label))
    page.get_by_role("button", name="Close the camera").click()
    expect(page.locator("#badge")).to_have_value("")
    open_camera(page)
    is_here(page, ILYA)


def test_a_code_that_is_nobodys_label_is_told_and_not_taken(page: Page, film: Callable[..., None]) -> None:
    film(camera.view("https://example.org/p/1234"))
    page.goto("/badge")
    expect(open_camera(page)).to_contain_text("not the one that is asked for")
    expect(page.locator("[data-camera-view]")).to_be_visible()


def test_a_vin_is_read_and_goes_on_to_the_intake(page: Page, film: Callable[..., None]) -> None:
    film(camera.view(VIN))
    page.goto("/jobs/new")
    open_camera(page)
    page.wait_for_url("**/intake**")
    expect(page.locator(".vin-large")).to_contain_text("0RV")


def test_a_black_picture_is_told_and_can_be_tried_again(page: Page, film: Callable[..., None]) -> None:
    film(Image.new("RGB", camera.SIZE, "black"))
    page.goto("/badge")
    says = open_camera(page)
    expect(says).to_contain_text("all black")
    film(camera.view(NOOR.label))
    page.get_by_role("button", name="Try again").click()
    is_here(page, NOOR)


def test_a_refused_camera_is_told_and_typing_goes_on(eyes: Browser, server: str) -> None:
    context = eyes.new_context(viewport=shop.PHONE, base_url=server)
    page = context.new_page()
    page.goto("/badge")
    says = open_camera(page)
    expect(says).to_contain_text("may not use the camera")
    expect(page.locator("[data-camera-photo]")).to_be_attached()
    page.get_by_role("button", name="Close the camera").click()
    page.locator("#badge").fill(NOOR.label)
    page.get_by_role("button", name="Go on").click()
    is_here(page, NOOR)


def test_the_camera_is_let_go_when_the_view_closes_or_another_app_comes_to_the_front(page: Page) -> None:
    page.goto("/badge")
    for leave in ("click", "Escape", "hide"):
        says = open_camera(page)
        expect(says).to_contain_text("Looking for the code")
        page.evaluate(HOW_IT_CLOSES)
        if leave == "click":
            page.get_by_role("button", name="Close the camera").click()
        elif leave == "Escape":
            page.keyboard.press("Escape")
        else:
            page.evaluate(
                """Object.defineProperty(document, "visibilityState", { value: "hidden" });
                document.dispatchEvent(new Event("visibilitychange"));"""
            )
        expect(page.locator("[data-camera-view]")).to_be_hidden()
        assert page.evaluate("whenClosed") == ["ended", None]


def test_a_platforms_detector_that_does_not_work_is_passed_over(page: Page, film: Callable[..., None]) -> None:
    film(camera.view(NOOR.label))
    asked: list[bool] = []
    page.expose_function("detectorAsked", lambda: asked.append(True))
    page.add_init_script(BROKEN_DETECTOR)
    page.goto("/badge")
    open_camera(page)
    is_here(page, NOOR)
    assert asked == [True]


def test_a_photo_taken_from_the_view_is_read_on_the_phone(page: Page, tmp_path: Path) -> None:
    photo = tmp_path / "badge.jpg"
    page.goto("/badge")
    expect(open_camera(page)).to_contain_text("Looking for the code")  # nobody takes a photo before the view is open
    camera.view(NOOR.label, ILYA.label).save(photo)
    page.locator("[data-camera-photo]").set_input_files(photo)
    expect(page.locator("[data-camera-says]")).to_contain_text("More than one code in sight")
    camera.view(NOOR.label).save(photo)
    page.locator("[data-camera-photo]").set_input_files(photo)
    is_here(page, NOOR)


def test_on_plain_http_the_page_says_that_there_is_no_live_picture(context: BrowserContext, server: str) -> None:
    page = context.new_page()
    page.goto(server.replace("127.0.0.1", "shop.test") + "/jobs/new")
    expect(page.get_by_text("A live camera picture needs the shop's HTTPS address")).to_be_visible()
    expect(page.get_by_role("button", name="Scan with camera")).to_be_hidden()
    expect(page.get_by_text("Photo of the VIN")).to_be_visible()


@pytest.fixture
def cut_off(
    playwright: Playwright, server: str, kit: dict[str, Any], photo: str, tmp_path: Path, film: object
) -> Iterator[tuple[KeptBrowser, Alone]]:
    """A paired phone with a camera, at the first scan of a job; then the network is cut."""
    network = Wire(int(server.rpartition(":")[2]))
    address, flags = network.address, camera.flags(tmp_path / "camera.mjpeg")
    browser = KeptBrowser(playwright, tmp_path / "profile", address, flags)
    browser.context.grant_permissions(["camera"])
    browser.pair()
    phone = Alone(browser.page, kit, photo)
    phone.badge(NOOR)
    take_in(browser.page, phone)
    browser.page.reload()
    expect(browser.page.locator("[data-ready]")).to_be_visible()
    until(browser.page, DECODER_KEPT)
    network.cut()
    sheet, _events = phone.journal()
    while (step := step_of(sheet, phone.at() or "")) and step["kind"] != "scan":
        phone.do(step)
    yield browser, phone
    browser.context.close()
    network.close()
    assert browser.troubles == []


def wanted(phone: Alone) -> str:
    """The text of the label that the step at hand asks for."""
    step = step_of(phone.journal()[0], phone.at() or "")
    assert step is not None
    return next_label(step["pairs"], phone.state().step(step["id"]), phone.kit, "", None, wrong=False)


def test_with_the_network_cut_labels_are_scanned_by_camera_and_by_photo(
    cut_off: tuple[KeptBrowser, Alone], film: Callable[..., None], tmp_path: Path
) -> None:
    _browser, phone = cut_off
    film(camera.view(phone.label("radar-plate")))
    phone.settle(lambda: open_camera(phone.page))
    expect(phone.page.locator("[data-verdict]")).to_contain_text("Label of another kind")
    film(camera.view(wanted(phone)))
    phone.settle(lambda: open_camera(phone.page))
    photo = tmp_path / "label.jpg"
    while phone.page.locator("[data-kind=scan]").count() == 0:
        step = step_of(phone.journal()[0], phone.at() or "")
        assert step is not None
        phone.do(step)
    camera.view(wanted(phone)).save(photo)
    phone.settle(lambda: phone.page.locator("form[data-main] [type=file]").set_input_files(photo))
    scans = [one.data for one in phone.journal()[1] if one.kind == "scanned"]
    assert [one["via"] for one in scans] == ["camera", "camera", "photo"]
    assert [one["verdict"] for one in scans][1:] == ["match", "match"]


def test_a_photo_with_nothing_to_read_is_told_with_the_network_cut(
    cut_off: tuple[KeptBrowser, Alone], tmp_path: Path
) -> None:
    _browser, phone = cut_off
    photo = tmp_path / "nothing.jpg"
    camera.view().save(photo)
    phone.settle(lambda: phone.page.locator("form[data-main] [type=file]").set_input_files(photo))
    expect(phone.page.get_by_role("alert")).to_contain_text("come closer, or type the label")
