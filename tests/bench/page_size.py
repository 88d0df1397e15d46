"""What a first visit to the checklist moves over the wire: page, styles, scripts and typefaces, headers included.

Counted by Chromium itself, in a context that has nothing kept, for one step of each kind and the largest drawing.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from urllib.parse import urlsplit

from playwright.sync_api import Browser, sync_playwright

from webapp.config import settings
from webapp.core.sheet import Sheet
from webapp.library.load import load
from webapp.paths import PROCEDURES
from webapp.storage import demo
from webapp.storage.engine import engine, writing
from webapp.storage.migrate import upgrade

from ..browser.shop import CHROMIUM, FLAGS, PHONE, serving
from ..web.job import AtJob, begin

ALLOWED_KB = 60.0


def run() -> dict[str, Any]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        measured = measure(browser)
        browser.close()
    return measured


def measure(browser: Browser) -> dict[str, Any]:
    """Kilobytes for each page in a browser that runs already, and what the largest one consists of."""
    with _shop() as (data, jobs), serving(data, PROCEDURES) as address:
        pages = {name: _visit(browser, address + job.url) for name, job in jobs.items()}
    largest = max(pages, key=lambda name: sum(pages[name].values()))
    return {
        "allowed_kb": ALLOWED_KB,
        "largest_kb": _kb(sum(pages[largest].values())),
        "largest": {"step": largest} | {path: _kb(size) for path, size in sorted(pages[largest].items())},
        "pages_kb": {name: _kb(sum(loaded.values())) for name, loaded in pages.items()},
    }


def _visit(browser: Browser, address: str) -> dict[str, int]:
    """The bytes that came for each address, headers and all."""
    context = browser.new_context(viewport=PHONE)
    page = context.new_page()
    network = context.new_cdp_session(page)
    paths: dict[str, str] = {}
    sizes: dict[str, int] = {}
    network.on("Network.responseReceived", lambda told: paths.update({told["requestId"]: told["response"]["url"]}))
    network.on("Network.loadingFinished", lambda told: sizes.update({told["requestId"]: told["encodedDataLength"]}))
    network.send("Network.enable")
    network.send("Network.setCacheDisabled", {"cacheDisabled": True})
    page.goto(address, wait_until="networkidle")
    page.evaluate("document.fonts.ready")
    page.wait_for_load_state("networkidle")
    context.close()
    return {urlsplit(paths[name]).path: int(size) for name, size in sizes.items()}


@contextmanager
def _shop() -> Iterator[tuple[Path, dict[str, AtJob]]]:
    """The demo shop with a job at each of the steps that are looked at."""
    with TemporaryDirectory() as held:
        shop = settings({}, data=held)
        made, library = engine(shop.database_url), load(PROCEDURES)
        upgrade(made)
        with writing(made) as db:
            demo.load(db, library.catalogue, date(2026, 3, 2))

        def at(step: str | None) -> AtJob:
            return begin(None, made, library, shop.photos, step)  # type: ignore[arg-type] # no pages are asked for here

        jobs = {name: at(f"/{name.partition('/')[2]}") for name in _looked_at(at(None).sheet)}
        made.dispose()
        yield shop.data, jobs


def _looked_at(sheet: Sheet) -> list[str]:
    """The first step of each kind, and the one with the largest drawing, as far as no answer leaves them out."""
    steps = [step for step in sheet["steps"] if not step["only_if"]]
    firsts = {step["kind"]: step["id"] for step in reversed(steps)}
    drawn = max(steps, key=lambda step: len((step["drawing"] or {"svg": ""})["svg"]))
    return [*firsts.values(), drawn["id"]]


def _kb(size: int) -> float:
    return round(size / 1000, 1)
