"""Drive the demo shop through a job and keep a picture of every kind of step.

Usage: python -m tests.screenshots [FOLDER]
"""

import sys
import tempfile
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

from tests.browser import shop
from tests.browser.phone import Phone
from tests.cast import ADA, ILYA

PICTURES = Path(__file__).with_name("pictures")


class Album:
    """Where the pictures go."""

    def __init__(self, page: Page, folder: Path) -> None:
        self.page, self.folder = page, folder
        folder.mkdir(parents=True, exist_ok=True)

    def keep(self, name: str, scroll_px: int = 0) -> None:
        """What the phone shows, 390 by 844, after scrolling down so far."""
        self.page.evaluate(f"document.fonts.ready.then(() => window.scrollTo(0, {scroll_px}))")
        drawn = Image.open(BytesIO(self.page.screenshot()))
        # A job card has few inks: with a palette a picture is a third of the size and looks the same.
        drawn.convert("P", palette=Image.Palette.ADAPTIVE, colors=64).save(self.folder / f"{name}.png", optimize=True)


def tour(page: Page, phone: Phone, album: Album) -> None:
    phone.badge(ILYA)
    album.keep("today")
    shop.take_in(page, phone, at_plan=lambda: album.keep("plan"))
    album.keep("choose")
    phone.work(until="/tyre-pressures")
    page.locator("[name=tyre_front_left]").fill("262")
    for name in ("tyre_front_right", "tyre_rear_left", "tyre_rear_right"):
        page.locator(f"[name={name}]").fill("238")
    album.keep("measure")
    phone.main()
    album.keep("measure-outside")
    phone.main()
    phone.work(until="/bay-photo")
    album.keep("photo")
    phone.work(until="/chock")
    album.keep("confirm")
    phone.main()
    album.keep("hold-point")
    phone.countersign()
    phone.work(until="/survey")
    album.keep("floor")
    phone.work(until="/hang-boards")
    phone.settle(lambda: phone.wedge(phone.label("camera-board-left")))
    phone.settle(lambda: phone.wedge(phone.label("stand-right-arm")))
    album.keep("scan-swapped")
    phone.work(until="/square")
    for name, value in zip(
        ("left_left", "right_right", "left_right", "right_left"), (1506, 1516, 2036, 2041), strict=True
    ):
        page.locator(f"[name={name}]").fill(str(value))
    album.keep("tapes")
    phone.main()
    album.keep("move", scroll_px=230)
    phone.main()
    phone.work(until="/settle")
    phone.main()
    album.keep("wait")
    phone.after_wait()
    album.keep("result")
    page.get_by_text("The scan tool says: failed").first.click()
    page.locator("[name=text]").first.fill("Aim not found")
    phone.settle(lambda: page.get_by_role("button", name="Keep the failed run").click())
    album.keep("failed")
    phone.work(until="/release")
    album.keep("countersign")
    page.goto(f"/jobs/{phone.job}/steps")
    album.keep("steps")
    page.get_by_role("link", name="To the step at hand").click()
    phone.work()
    phone.main()
    page.goto(f"/jobs/{phone.job}/record")
    album.keep("record")
    for name in ("times", "kit", "people"):
        page.goto(f"/{name}")
        album.keep(name)
    assert ADA.name in page.content()


def main(folder: Path) -> None:
    with tempfile.TemporaryDirectory() as data, sync_playwright() as playwright:
        procedures = shop.quick_procedures(Path(data) / "procedures", seconds=4)
        with shop.serving(Path(data), procedures, history=40) as address:
            browser = playwright.chromium.launch(executable_path=shop.CHROMIUM, args=shop.FLAGS)
            context = browser.new_context(viewport=shop.PHONE, base_url=address, locale="en-GB", device_scale_factor=2)
            page = context.new_page()
            tour(page, Phone(page, shop.kit(Path(data)), shop.photo(Path(data))), Album(page, folder))
            browser.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else PICTURES)
