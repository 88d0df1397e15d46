"""The phone alone: from tap to the next step's paint, from the home screen to the step, and what its scripts weigh.

The page's CPU is slowed four times, as a cheap phone's would be; developer tools do not slow the worker's own thread.
`pace_ms` is how long that page took for a fixed loop of plain JavaScript, before the taps and after them: a machine's
pace changes with the hour, and only figures of about the same pace can be compared.
"""

import gzip
from pathlib import Path
from statistics import quantiles
from tempfile import TemporaryDirectory
from typing import Any

from playwright.sync_api import CDPSession, sync_playwright

from webapp.paths import STATIC

from ..browser import shop
from ..browser.kept import CONTROLLED, KeptBrowser
from ..cast import NOOR
from .phases import SEEN, WATCH, WATCH_WORKER, Seen, Tap, by_kind, p95, tap_ms
from .tapper import Tapper

SLOWED = 4
STARTS = 30
SAMPLE = 60
FEW, MANY = 60, 2_000
HEAVY = (4_000, 3_000)
Aboard = tuple[KeptBrowser, Tapper]
LARGEST_SCRIPTS = 45_000
"""Bytes, packed, that a phone may have to load before the first step."""
FIRST = ("vendor/htmx.min.js", "app/hands.js", "app/start.js", "app/camera.js", "app/worker/sw.js")

# Pausing and going on again makes a journal longer and a state no larger.
LENGTHEN = """async ([job, count]) => {
  const { token } = document.querySelector("form[method=post]").elements;
  const send = async (fields) => {
    const began = performance.now();
    const headers = { "HX-Request": "true" };
    const body = new URLSearchParams({ token: token.value, ...fields });
    const answer = await fetch(`/jobs/${job}`, { method: "POST", body, headers });
    await answer.text();
    if (!answer.ok) throw new Error(`${answer.status}`);
    return performance.now() - began;
  };
  const took = [];
  for (let done = 0; done < count; done += 2) {
    took.push(await send({ do: "pause", reason: "break" }), await send({ do: "resume" }));
  }
  return took;
}"""


# A sum that no engine can leave out; the middle one of several, since whatever else runs falls on some of them.
PACE = """() => {
  const took = [];
  for (let turn = 0; turn < 9; turn++) {
    const began = performance.now();
    let seed = 1;
    for (let count = 0; count < 300_000; count++) seed = (seed * 1_664_525 + 1_013_904_223) % 4_294_967_296;
    took.push(performance.now() - began + (seed < 0 ? 1 : 0));
  }
  return took.sort((one, other) => one - other)[4];
}"""


def median(values: list[float]) -> float:
    return round(quantiles(values, n=2, method="inclusive")[0], 1)


def script_bytes() -> dict[str, int]:
    """What a phone loads before the first step, packed; parts of the worker come later, when they are needed."""
    return {name: len(gzip.compress((STATIC / name).read_bytes(), 9)) for name in FIRST}


def run() -> dict[str, Any]:
    with TemporaryDirectory() as folder, sync_playwright() as playwright:
        top = Path(folder)
        with shop.serving(top / "data", shop.quick_procedures(top / "procedures", seconds=1)) as address:
            browsers = [KeptBrowser(playwright, top / f"profile-{number}", address) for number in range(2)]
            phones = [Tapper(one.page, shop.kit(top / "data"), shop.photo(top)) for one in browsers]
            try:
                return _measured(*zip(browsers, phones, strict=True), shop.photo(top, HEAVY))
            finally:
                for one in browsers:
                    one.context.close()


def _measured(short: Aboard, long: Aboard, heavy: str) -> dict[str, Any]:
    browser, phone = short
    devtools = _aboard(browser, phone)
    before: float = browser.page.evaluate(PACE)
    worked, seen = _work(phone)
    after: float = browser.page.evaluate(PACE)
    taps = [tap_ms(one) for one in worked]
    drawn_anew = _with_photo(phone, heavy)
    starts = [_start(browser, devtools, phone.job) for _ in range(STARTS)]
    _aboard(*long)
    _lengthened(*long, MANY - len(long[1].read("events")))
    few, many = _in_turn(short, long)
    events = len(phone.read("events"))
    scripts = script_bytes()
    return {
        "slowed": f"the page's thread {SLOWED} times; the worker's is not slowed",
        "pace_ms": {"before": round(before, 1), "after": round(after, 1)},
        "taps": len(taps),
        "tap_to_paint_ms": {"median": median(taps), "p95": p95(taps), "limit_p95": 80},
        "by_kind_ms": by_kind(worked, seen),
        "one_photo_of_12_megapixels_ms": round(drawn_anew, 1),
        "start_to_usable_ms": {"median": median(starts), "p95": p95(starts), "limit_p95": 500},
        "post_ms": {f"{events}_events": median(few), f"{MANY + SAMPLE}_events": median(many)},
        "many_to_few": round(median(many) / median(few), 2),
        "limit_many_to_few": 1.5,
        "script_bytes": scripts | {"all": sum(scripts.values()), "limit": LARGEST_SCRIPTS},
    }


def _aboard(browser: KeptBrowser, phone: Tapper) -> CDPSession:
    """A paired phone at the first step of a job, its network cut, its page slowed."""
    browser.page.add_init_script(WATCH)
    browser.pair()
    phone.badge(NOOR)
    shop.take_in(browser.page, phone)
    browser.page.reload()
    browser.page.evaluate(CONTROLLED)
    browser.page.locator("[data-ready]").first.wait_for()
    devtools = browser.context.new_cdp_session(browser.page)
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    browser.context.set_offline(True)
    return devtools


def _work(phone: Tapper) -> tuple[list[Tap], Seen]:
    """Work the job up to its last section; its taps, and what the worker did meanwhile."""
    (worker,) = phone.page.context.service_workers
    worker.evaluate(WATCH_WORKER)
    phone.work(until="/lamps-photo")
    taps: list[Tap] = phone.page.evaluate("window.taps")
    if len(taps) < FEW:
        raise RuntimeError(f"only {len(taps)} taps were measured; the job has too few steps")
    return taps, worker.evaluate(SEEN)


def _with_photo(phone: Tapper, photo: str) -> float:
    """The step at hand, a photo step, done with that photo."""
    phone.photo = photo
    phone.do_photo({})
    last: Tap = phone.page.evaluate("window.taps.at(-1)")
    return tap_ms(last)


def _start(browser: KeptBrowser, devtools: CDPSession, job: str) -> float:
    """From the home screen: nothing of the app is running, neither a page nor the worker."""
    browser.page.goto("about:blank")
    devtools.send("ServiceWorker.enable")
    devtools.send("ServiceWorker.stopAllWorkers")
    browser.page.goto(f"/jobs/{job}")
    browser.page.locator("#job").wait_for()
    browser.page.wait_for_function("window.usable")
    usable: float = browser.page.evaluate("window.usable")
    return usable


def _in_turn(short: Aboard, long: Aboard) -> tuple[list[float], list[float]]:
    """Taps on a short journal and on a long one, each a phone's own; by turns, as the machine has other work."""
    few, many = list[float](), list[float]()
    for _ in range(SAMPLE // 2):
        few += _lengthened(*short, 2)
        many += _lengthened(*long, 2)
    return few, many


def _lengthened(browser: KeptBrowser, phone: Tapper, count: int) -> list[float]:
    """The milliseconds of each of so many further taps, as the page sees them."""
    took: list[float] = browser.page.evaluate(LENGTHEN, [phone.job, max(2, count)])
    return took
