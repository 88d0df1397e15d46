"""A real server in a process of its own, with the demo shop; and the way from the Today page into a job."""

import os
import re
import shutil
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from PIL import Image
from PIL.ExifTags import IFD, Base
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import Page, expect

from webapp.paths import PROCEDURES
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import session
from webapp.storage.kit import kit as kit_of

from .phone import Phone

CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE = {"width": 390, "height": 844}
VIN = "0RVWA4G2XK1000417"
CAMERA = "CAMERA OF SOMEBODY"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def quick_procedures(folder: Path, seconds: int = 2) -> Path:
    """The library that ships, with every wait cut short: the countdown is tested, not the patience."""
    shutil.copytree(PROCEDURES, folder)
    for path in folder.rglob("*.yaml"):
        path.write_text(re.sub(r"(?m)^(\s+wait:) .*$", rf"\1 {seconds} s", path.read_text()))
    return folder


@contextmanager
def serving(
    data: Path, procedures: Path, history: int = 0, *, checkout: Path | None = None, **more: str
) -> Iterator[str]:
    """Serve the demo shop in that data folder over plain http; the server says when it is ready. `more`: settings.

    What it writes besides lies in `server.log` in that folder.

    `checkout` is another copy of the app, to be served instead of this one.
    """
    port = more.pop("PORT", None) or str(free_port())
    env = {**os.environ, "DATA": str(data), "PORT": port, "HOST": "127.0.0.1", "PROCEDURES": str(procedures)}
    env |= {"HTTPS_PORT": "0", **more}
    baybook = [sys.executable, "-m", "webapp.cli"]
    subprocess.run([*baybook, "demo", "--jobs", str(history)], env=env, cwd=checkout, check=True, capture_output=True)
    served = [*baybook, "serve"]
    with (
        (data / "server.log").open("a") as log,
        subprocess.Popen(served, env=env, cwd=checkout, stdout=subprocess.PIPE, stderr=log, text=True) as process,
    ):
        assert process.stdout is not None
        if not any("Baybook serves" in line for line in process.stdout):
            raise AssertionError(f"the server ended with status {process.wait()}: {(data / 'server.log').read_text()}")
        try:
            yield f"http://127.0.0.1:{port}"
        finally:
            process.terminate()


def kit(data: Path) -> dict[str, Any]:
    """The kit of the shop in that data folder."""
    made = engine_for(f"sqlite:///{data / 'baybook.db'}")
    with session(made) as db:
        held = kit_of(db)
    made.dispose()
    return held


def photo(folder: Path, size: tuple[int, int] = (1600, 1200)) -> str:
    """A picture as a phone's camera might make it, held upright, with the place beside it."""
    path = folder / f"stand-{size[0]}.jpg"
    image = Image.effect_noise(size, 60).convert("RGB")
    exif = image.getexif()
    exif[Base.Make] = CAMERA
    exif[Base.Orientation] = 6
    exif.get_ifd(IFD.GPSInfo)[1] = "N"
    image.save(path, quality=80, exif=exif, comment=CAMERA)
    return str(path)


def take_in(page: Page, phone: Phone, at_plan: Callable[[], None] = lambda: None) -> None:
    """From the Today page to the started job: VIN by wedge, vehicle, reasons, plan."""
    page.goto("/")
    page.get_by_role("link", name="New job").click()
    page.wait_for_url("**/jobs/new")
    phone.wedge(f"*{VIN}*")
    page.wait_for_url("**/intake**")
    expect(page.locator(".notice")).to_contain_text("stars")
    for choices in page.locator("fieldset .choices").all():
        if choices.locator("[type=radio]").count():
            choices.locator("[type=radio]").first.check()
    page.get_by_label("Repair order").fill("RO 20417")
    page.get_by_label("Odometer, km").fill("48 210")
    page.get_by_label("Windscreen replaced").check()
    page.get_by_label("Radar removed or replaced").check()
    page.get_by_role("button", name="Plan the calibrations").click()
    expect(page.get_by_role("heading", name="Forward camera, static target")).to_be_visible()
    expect(page.get_by_role("heading", name="Forward radar, reflector plate")).to_be_visible()
    at_plan()
    page.get_by_role("button", name="Start the job").click()
    try:
        page.locator("[data-step]").wait_for()
    except PlaywrightError as late:
        raise AssertionError(f"{page.url} shows no step: {page.locator('body').inner_text()}") from late
