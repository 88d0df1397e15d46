"""The charts of the times pages in a real browser, under the pages' own content policy."""

import json
import re
from collections.abc import Iterator
from io import BytesIO
from itertools import product
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect
from pypdf import PdfReader

from webapp.paths import PROCEDURES

from ..cast import ADA, ILYA
from . import shop
from .phone import begin
from .until import until

pytestmark = pytest.mark.browser

CAMERA = "forward-camera-static"
TYPE = f"/times/{CAMERA}"
LEARNER = f"/times/learning/{ILYA.badge}"
PLAY = "/times/what-if?bays=2&technicians=3&stands=1&arrivals=5&hours=9&way=random"
PAGES = ("/times", TYPE, "/times/kit", PLAY, LEARNER)
DESK = {"width": 1280, "height": 900}


@pytest.fixture(scope="module")
def past(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the demo shop with its history of 40 jobs."""
    with shop.serving(tmp_path_factory.mktemp("past"), PROCEDURES, history=40) as address:
        yield address


@pytest.fixture
def opened(chromium: Browser, past: str) -> Iterator[Any]:
    """Opens a browser at those pages. A script's error, or a refusal by the content policy, fails the test."""
    troubles: list[str] = []
    contexts: list[BrowserContext] = []

    def new(viewport: Any = shop.PHONE, locale: str = "en-GB", **more: Any) -> Page:
        contexts.append(chromium.new_context(viewport=viewport, base_url=past, locale=locale, **more))
        page = contexts[-1].new_page()
        page.on("pageerror", lambda error: troubles.append(str(error)))
        page.on("console", lambda said: troubles.append(said.text) if said.type in ("error", "warning") else None)
        return page

    yield new
    for one in contexts:
        one.close()
    assert troubles == []


@pytest.fixture
def manager(opened: Any) -> Page:
    page: Page = opened()
    begin(page, ADA)
    return page


def charts(page: Page) -> list[Locator]:
    """Those that are not folded away, drawn."""
    found = [one for one in page.locator("[data-chart]").all() if one.is_visible()]
    for one in found:
        one.locator("svg").wait_for()
    return found


def told(chart: Locator) -> Any:
    return json.loads(chart.get_attribute("data-chart") or "")


# Its room and its width at one moment: while others of a table are drawn anew, the room still moves by some pixels.
FILLED = """(chart) =>
  chart.querySelector("svg").getAttribute("width") === String(Math.round(chart.getBoundingClientRect().width))"""


def width(chart: Locator) -> float:
    return float(chart.locator("svg").evaluate("(one) => one.getBoundingClientRect().width"))


def text_sizes(page: Page) -> set[str]:
    return set(page.locator(".chart text").evaluate_all("(all) => all.map((one) => getComputedStyle(one).fontSize)"))


def test_every_chart_is_drawn_from_all_that_it_was_told(manager: Page) -> None:
    for address in PAGES:
        manager.goto(address)
        drawn = charts(manager)
        assert drawn
        for one in drawn:
            given, kind = told(one), one.get_attribute("data-kind")
            marks, bars = one.locator(".mark").count(), one.locator(".bar").count()
            expected = {
                "run": lambda given=given: (len(given["marks"]), 0),
                "learned": lambda given=given: (len(given["marks"]), 0),
                "strip": lambda given=given: (len(given["marks"]), 0),
                "trend": lambda given=given: (len(given["points"]), 0),
                "bars": lambda given=given: (0, len(given["bins"])),
                "bar": lambda: (0, 1),
                "span": lambda: (1, 0),
            }
            assert (marks, bars) == expected[kind or ""](), (address, kind)


def test_marks_lie_to_scale_and_what_stands_out_bears_its_letter(manager: Page) -> None:
    manager.goto(TYPE)
    (run,) = [one for one in charts(manager) if one.get_attribute("data-kind") == "run"]
    marks = told(run)["marks"]
    places = run.locator("a").evaluate_all(
        "(all) => all.map((one) => one.transform.baseVal.consolidate().matrix).map(({ e, f }) => [e, f])"
    )
    on = [(one["minutes"], y) for one, (_, y) in zip(marks, places, strict=True) if one["minutes"] <= told(run)["top"]]
    minutes, heights = np.array(on).T
    slope, foot = np.polyfit(minutes, heights, 1)
    assert slope < 0
    assert float(np.abs(slope * minutes + foot - heights).max()) < 0.1
    assert run.locator(".upright .tick").first.evaluate(
        "(one) => one.transform.baseVal.consolidate().matrix.f"
    ) == pytest.approx(foot, abs=1)  # the axis begins with nothing
    assert [x for x, _ in places] == sorted(x for x, _ in places)
    lettered = [one["letter"] for one in marks if "letter" in one]
    assert lettered
    assert run.locator(".letter").all_text_contents() == lettered
    assert manager.locator(".noted tbody th").all_inner_texts()[: len(lettered)] == lettered


def test_a_mark_leads_to_the_jobs_record_by_keyboard_too(manager: Page) -> None:
    manager.goto(TYPE)
    charts(manager)
    marks = manager.locator(".chart.run a")
    first, last = marks.first, marks.last
    address = last.get_attribute("href") or ""
    assert re.fullmatch(r"/jobs/[^/]+/record", address)
    first.focus()
    manager.keyboard.press("Tab")
    expect(marks.nth(1)).to_be_focused()
    last.focus()
    manager.keyboard.press("Enter")
    manager.wait_for_url(f"**{address}")
    expect(manager.get_by_role("heading", level=1)).to_be_visible()


def test_what_a_mark_means_is_its_shape_and_no_colour_alone(manager: Page) -> None:
    manager.goto(TYPE)
    marks = manager.locator(".chart.run a")
    marks.first.wait_for()
    shapes: dict[str, set[tuple[Any, ...]]] = {}
    for one in marks.all():
        kind = next(kind for kind in ("again", "estimated", "job") if one.locator(f".mark.{kind}").count())
        drawn = one.locator(".mark").evaluate("(one) => [one.getAttribute('d'), getComputedStyle(one).strokeDasharray]")
        shapes.setdefault(kind, set()).add((*drawn, one.locator(".cross").count()))
    assert set(shapes) == {"again", "estimated", "job"}
    assert len(set().union(*shapes.values())) == 3
    lines = [manager.locator(f".chart.run .{name}").first for name in ("mean", "limit")]
    assert len({one.evaluate("(one) => getComputedStyle(one).strokeDasharray") for one in lines}) == 2
    for one in manager.locator("[data-sample]").all():
        expect(one.locator("svg.sample")).to_be_visible()


def test_at_another_width_it_is_drawn_anew_with_its_text_the_same_size(manager: Page) -> None:
    for address in PAGES:
        manager.set_viewport_size(shop.PHONE)
        manager.goto(address)
        narrow = [width(one) for one in charts(manager)]
        assert max(narrow) <= shop.PHONE["width"]
        sizes = text_sizes(manager)
        assert len(sizes) <= 1
        manager.set_viewport_size(DESK)
        for one in charts(manager):
            until(manager, FILLED, one.element_handle())
        assert text_sizes(manager) == sizes
        manager.set_viewport_size(shop.PHONE)
        for one, before in zip(charts(manager), narrow, strict=True):
            expect(one.locator("svg")).to_have_attribute("width", str(round(before)))
        assert manager.evaluate("document.documentElement.scrollWidth") <= shop.PHONE["width"]


def test_on_paper_it_has_the_papers_width_and_afterwards_the_screens_again(manager: Page) -> None:
    manager.goto(TYPE)
    charts(manager)
    manager.evaluate("""() => {
      window.addEventListener("beforeprint", () => {
        const drawn = [...document.querySelectorAll(".chart svg")];
        window.printed = drawn.map((one) => Number(one.getAttribute("width")));
      });
    }""")
    made = PdfReader(BytesIO(manager.pdf(format="A4", margin=dict.fromkeys(("left", "right", "top"), "10mm"))))
    words = " ".join(page.extract_text() for page in made.pages)
    assert set(manager.evaluate("window.printed")) == {240, 700}
    days = [told(one)["ends"] for one in charts(manager) if one.get_attribute("data-kind") == "run"]
    assert all(day in words for day in days[0])
    for one in charts(manager):
        expect(one.locator("svg")).to_have_attribute("width", str(round(width(one))))


def test_printed_it_is_black_on_white_and_in_the_dark_it_is_light_on_dark(opened: Any) -> None:
    page = opened(color_scheme="dark")
    page.goto(TYPE)
    dot = page.locator(".chart.run .mark.job").first
    dark = dot.evaluate("(one) => getComputedStyle(one).fill")
    page.emulate_media(color_scheme="light")
    expect(dot).not_to_have_css("fill", dark)
    page.emulate_media(media="print")
    expect(dot).to_have_css("fill", "rgb(0, 0, 0)")  # asked again: it is drawn anew for paper
    assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == "rgb(255, 255, 255)"


# Of the named lines of one chart, whatever words another one's line, or other words, lie across; half a pixel is none.
CROSSED = """(chart) => {
  const named = [...chart.querySelectorAll(".named")];
  const box = (one) => one.getBoundingClientRect();
  const meet = (one, other) =>
    one.left < other.right - 0.5 && other.left < one.right - 0.5 && one.top < other.bottom && other.top < one.bottom;
  const words = (one) => box(one.querySelector("text"));
  return named.flatMap((one) => named.filter((other) => other !== one).filter((other) =>
    meet(words(one), box(other.querySelector("line"))) || meet(words(one), words(other)))).length;
}"""


DRAWN_ANEW = "(chart, told) => { chart.dataset.chart = told; window.dispatchEvent(new Event('afterprint')); }"


@pytest.mark.parametrize("size", [shop.PHONE, DESK])
def test_no_line_lies_across_the_words_of_another(opened: Any, size: dict[str, int]) -> None:
    page = opened(size)
    page.goto(TYPE)
    (bars,) = [one for one in charts(page) if one.get_attribute("data-kind") == "bars"]
    given = told(bars)
    low, high = given["bins"][0]["low"], given["bins"][-1]["low"]
    seen = set()
    for half, most in product((0.0, 0.05, 0.2, 0.35, 0.5, 0.8, 0.95), (0.02, 0.1, 0.3, 0.6, 0.9, 1.0)):
        if half > most:
            continue
        for line, at in zip(given["lines"], (half, most), strict=True):
            line["minutes"] = low + at * (high - low)
        bars.evaluate(DRAWN_ANEW, json.dumps(given))
        sides = bars.locator(".named text").evaluate_all("(all) => all.map((one) => one.className.baseVal).join()")
        seen.add(sides)
        assert bars.evaluate(CROSSED) == 0, (half, most, sides)
    assert len(seen) > 2  # words did stand on this side of their line, and on that


def test_in_spanish_its_words_and_figures_are_the_pages(opened: Any) -> None:
    page = opened(locale="es-ES")
    page.goto(TYPE)
    (trend,) = [one for one in charts(page) if one.get_attribute("data-kind") == "trend"]
    days = trend.locator(".along text").all_text_contents()
    assert days
    assert all(re.fullmatch(r"\d{1,2} [a-z]{3,4}", day) for day in days)
    for line in page.locator(".chart.bars .named text").all_text_contents():
        assert re.fullmatch(r"(la mitad en|4 de 5 en) \d+(,\d)?", line)
    # Of jobs that took seconds the scale has tenths, and they are written as the page writes its own.
    trend.evaluate("""(one) => {
      const told = JSON.parse(one.dataset.chart);
      const most = Math.max(...told.points.map(({ minutes }) => minutes));
      const points = told.points.map((each) => ({ ...each, minutes: each.minutes / most, low: null, high: null }));
      one.dataset.chart = JSON.stringify({ ...told, top: 1, points });
    }""")
    page.set_viewport_size(DESK)
    expect(trend.locator(".upright text").nth(1)).to_have_text("0,2")


def test_without_a_script_there_is_the_table_and_nothing_empty(opened: Any) -> None:
    page = opened(DESK, java_script_enabled=False)
    for address in PAGES[:-1]:
        page.goto(address)
        for one in page.locator("[data-chart], .key, th.picture").all():
            expect(one).to_be_hidden()
        for one in page.locator("figure").all():
            expect(one.locator("table").first).to_be_visible()
            assert one.locator("table tbody tr").count() > 0


def test_no_other_page_and_no_phone_takes_the_charts_along(manager: Page) -> None:
    asked: list[str] = []
    manager.on("request", lambda request: asked.append(request.url))
    manager.goto("/", wait_until="networkidle")
    manager.goto("/times/week", wait_until="networkidle")
    kept = manager.request.get("/sw.js").text()
    assert "/static/app/hands.js" in kept
    assert "/charts" not in kept
    assert not [one for one in asked if "/static/app/charts" in one]
    manager.goto(TYPE, wait_until="networkidle")
    assert [one for one in asked if "/static/app/charts" in one]
