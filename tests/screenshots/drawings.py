"""Every kind of drawing on contact sheets, to be looked at: for two vehicles, in light, dark and print, in mm and
inches, in English and Spanish.

Usage: python -m tests.screenshots.drawings FOLDER [VEHICLE...]
"""

import re
import sys
from collections.abc import Iterator
from html import escape
from pathlib import Path
from typing import Literal

from playwright.sync_api import Browser, sync_playwright

from tests.browser import shop
from tests.core.test_drawing_moves import squared
from tests.drawings import shipped
from webapp.core.drawing import stand_move
from webapp.core.lengths import INCHES, MM, Unit
from webapp.core.measure.square import FRONT, REAR, Hubs, Pose, Tapes, tapes_at
from webapp.core.state import StepState
from webapp.core.view.drawings import drawing_view
from webapp.library.load import load
from webapp.library.tongues import tongues
from webapp.messages import Tongue
from webapp.paths import PROCEDURES, STATIC
from webapp.storage.demo import BAYS
from webapp.web.mustache import render

VEHICLES = ("orvane-wagon", "tavisk-carrier")
Look = Literal["light", "dark", "print"]
WAYS: list[tuple[Look, Unit, str]] = [
    ("light", MM, "en"),
    ("dark", MM, "en"),
    ("print", MM, "en"),
    ("light", INCHES, "en"),
    ("light", MM, "es"),
    ("dark", INCHES, "es"),
]
ACROSS, DOWN = 4, 2
WIDE_PX = 330  # what a phone 390 px wide leaves for a drawing
Shown = tuple[str, str]
"""A drawing's caption and its SVG."""


def moves(unit: Unit, tongue: Tongue) -> Iterator[Shown]:
    """Where the stand is and how it must move: turned and off, only turned, near and right, far off, in its place."""
    poses: list[tuple[Hubs, float, float, float]] = [
        (FRONT, 1500.3, 8.1, 0.39),
        (FRONT, 1500.0, 0.0, -0.8),
        (FRONT, 1462.0, -35.0, 0.1),
        (FRONT, 1900.0, 700.0, 6.0),
        (FRONT, 1500.0, 0.0, 0.0),
        (REAR, 1512.0, -9.0, 0.5),
    ]
    target = {"distance_mm": 1500.0, "offset_mm": 0.0, "yaw_deg": 0.0}
    for hubs, *pose in poses:
        tapes: Tapes = tapes_at(1560.0, 1200.0, Pose(*pose), hubs)
        made = stand_move(squared(tapes, target, hubs), target, tongue.say, unit, hubs)
        assert made is not None
        yield f"move, {hubs} {pose}", render("stand-move", made)


def job_s_own(shown: list[Shown], unit: Unit, tongue: Tongue) -> Iterator[Shown]:
    """Each with the demo shop's first bay under it, its first target placed and the second one next."""
    name, _wide, _long, plan = BAYS[0]
    for caption, svg in shown:
        spots = list(dict.fromkeys(re.findall('data-spot="([^"]*)"', svg)))
        pairs = [{"spot": one, "spot_name": one} for one in spots]
        step = {"drawing": {"svg": svg, "alt": ""}, "pairs": pairs if "data-spot" in svg and "place" in svg else []}
        sheet = {"job": {"floor_plan": {"name": name, **(plan or {})}}, "unit": unit}
        was = StepState(placed=({"pair": 0},))
        made = drawing_view(sheet, step, was, tongue.say)
        assert made is not None
        if made["says"]:
            yield (
                caption,
                f"{made['svg']}<figcaption>{''.join(f'<span>{one}</span>' for one in made['says'])}</figcaption>",
            )


def drawings(names: tuple[str, ...], unit: Unit, tongue: Tongue) -> list[Shown]:
    """Each drawing of these vehicles once, however many steps show it."""
    library = load(PROCEDURES, unit)
    mine = library.model_copy(update={"vehicles": {name: library.vehicles[name] for name in names}})
    found: dict[str, str] = {}
    for caption, drawing in shipped(mine, tongue.say):
        found.setdefault(drawing["svg"], caption)
    shown = [(caption, svg) for svg, caption in found.items()]
    return [*shown, *moves(unit, tongue), *job_s_own(shown, unit, tongue)]


def sheet(browser: Browser, shown: list[Shown], look: Look, path: Path) -> None:
    """One contact sheet, written beside its picture as the page that it is a picture of."""
    links = "".join(
        f'<link rel="stylesheet" href="{(STATIC / "css" / one).as_uri()}">'
        for one in ("baybook.css", "job.css", "drawing.css")
    )
    columns = f"repeat({ACROSS},{WIDE_PX}px)"
    style = f"body{{display:grid;grid-template-columns:{columns};gap:12px;margin:12px;align-items:start}}"
    figures = "".join(
        f'<div><small>{escape(caption)}</small><figure class="drawing" style="margin:0">{svg}</figure></div>'
        for caption, svg in shown
    )
    html = path.with_suffix(".html")
    html.write_text(f"<!doctype html><meta charset=utf-8>{links}<style>{style}</style>{figures}", encoding="utf-8")
    page = browser.new_page(viewport={"width": ACROSS * (WIDE_PX + 12) + 12, "height": 700})
    page.emulate_media(
        media="print" if look == "print" else "screen", color_scheme="dark" if look == "dark" else "light"
    )
    page.goto(html.as_uri())
    page.evaluate("document.fonts.ready")
    page.screenshot(path=path, full_page=True)
    page.close()


def main(folder: Path, names: tuple[str, ...] = VEHICLES) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    spoken = tongues(PROCEDURES)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shop.CHROMIUM, args=shop.FLAGS)
        for look, unit, language in WAYS:
            every = drawings(names, unit, spoken[language])
            for number, start in enumerate(range(0, len(every), ACROSS * DOWN), 1):
                path = folder / f"{look}-{unit}-{language}-{number:02}.png"
                sheet(browser, every[start : start + ACROSS * DOWN], look, path)
        browser.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve(), tuple(sys.argv[2:]) or VEHICLES)
