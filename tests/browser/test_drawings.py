"""In a real browser, with the app's own typeface, no two labels of a drawing meet and none leaves its sheet."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.core.test_drawing_moves import TARGET, squared
from tests.drawings import shipped
from webapp.core.drawing import stand_move
from webapp.core.measure.square import Tapes
from webapp.core.procedure import Library
from webapp.messages import say
from webapp.paths import STATIC
from webapp.web.mustache import render

pytestmark = pytest.mark.browser

BOXES = """() => [...document.querySelectorAll('figure')].map((figure) => ({
  name: figure.dataset.name,
  px: figure.querySelector('text') ? parseFloat(getComputedStyle(figure.querySelector('text')).fontSize)
    * figure.querySelector('svg').getBoundingClientRect().width / 330 : 99,
  sheet: figure.querySelector('svg').viewBox.baseVal.height,
  texts: [...figure.querySelectorAll('text')].map((text) => {
    const box = text.getBBox();
    // Letters, without the leading above and below them.
    const [right, top, bottom] = [box.x + box.width, box.y + 2.5, box.y + box.height - 2.5];
    return { text: text.textContent, left: box.x, right, top, bottom };
  }),
}))"""


@pytest.fixture
def sheet_of_drawings(chromium: Browser, library: Library, tmp_path: Path) -> Iterator[Page]:
    """Every drawing that ships and the one that the phone makes, 330 px wide on a page with the app's style sheets."""
    made = [(name, drawing["svg"]) for name, drawing in shipped(library)]
    move = stand_move(squared(Tapes(1506, 1516, 2036, 2041)), TARGET, say)
    assert move is not None
    made.append(("stand-move", render("stand-move", move)))
    links = "".join(
        f'<link rel="stylesheet" href="{(STATIC / "css" / one).as_uri()}">' for one in ("baybook.css", "drawing.css")
    )
    figures = "".join(f'<figure data-name="{name}" style="width:330px">{svg}</figure>' for name, svg in made)
    path = tmp_path / "drawings.html"
    path.write_text(f"<!doctype html><meta charset=utf-8>{links}{figures}", encoding="utf-8")
    page = chromium.new_page(viewport={"width": 390, "height": 844})
    page.goto(path.as_uri())
    page.evaluate("document.fonts.ready")
    yield page
    page.close()


def test_no_label_meets_another_or_leaves_its_sheet(sheet_of_drawings: Page) -> None:
    figures = sheet_of_drawings.evaluate(BOXES)
    assert len(figures) >= 3 * 15
    wrong = []
    for figure in figures:
        for number, one in enumerate(figure["texts"]):
            if one["left"] < 0 or one["right"] > 330 or one["top"] < 0 or one["bottom"] > figure["sheet"]:
                wrong.append((figure["name"], one["text"], "over the edge"))
            wrong += [
                (figure["name"], one["text"], other["text"])
                for other in figure["texts"][number + 1 :]
                if one["left"] < other["right"]
                and other["left"] < one["right"]
                and one["top"] < other["bottom"]
                and other["top"] < one["bottom"]
            ]
    assert wrong == []


def test_every_label_is_at_least_11_px_high_on_a_phone(sheet_of_drawings: Page) -> None:
    assert [one["name"] for one in sheet_of_drawings.evaluate(BOXES) if one["px"] < 11] == []


def test_the_inks_turn_over_in_the_dark(sheet_of_drawings: Page) -> None:
    ink = "getComputedStyle(document.querySelector('.top-view .lettering')).fill"
    light = sheet_of_drawings.evaluate(ink)
    sheet_of_drawings.emulate_media(color_scheme="dark")
    dark = sheet_of_drawings.evaluate(ink)
    assert light == "rgb(20, 32, 43)"
    assert dark == "rgb(243, 239, 227)"
