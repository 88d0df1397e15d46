"""A job leaves the phone after the days chosen, by the server's clock, and never before the shop has all of it."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from sqlmodel import col, select

from webapp.storage import privacy
from webapp.storage.engine import engine, writing
from webapp.storage.moments import instant
from webapp.storage.tables import Job

from ..cast import NOOR, TOMAS
from .alone import READ, Alone
from .kept import KeptBrowser
from .shop import VIN
from .until import SYNC

pytestmark = pytest.mark.browser

# What the phone does at the end of every sync that went well, with what the server said its clock was.
LOAD = 'import("/static/phone/tidy.js").then((part) => { window.tidy = part.tidy; })'
TIDY = "now => window.tidy(now)"
# As if the shop had had all of it a day before it did.
A_DAY_BEFORE = """(job) => new Promise((done, failed) => {
  const opening = indexedDB.open("baybook");
  opening.onerror = () => failed(opening.error);
  opening.onsuccess = () => {
    const writing = opening.result.transaction("jobs", "readwrite");
    const reading = writing.objectStore("jobs").get(job);
    reading.onsuccess = () => {
      writing.objectStore("jobs").put({ ...reading.result, done_ms: reading.result.done_ms - 864e5 });
    };
    writing.oncomplete = () => { opening.result.close(); done(); };
  };
})"""


def held(page: Page, job: str) -> dict[str, int]:
    """How many records of the job the phone still has."""
    return {store: len(page.evaluate(READ, [store, job])) for store in ("jobs", "states", "events", "photos")}


def tidied(aside: Page, job: str, now: datetime) -> bool:
    """Whether the job has left the phone, the server's clock being that."""
    aside.evaluate(TIDY, instant(now))
    return not any(held(aside, job).values())


def abandon(phone: Alone) -> None:
    """End the job at hand."""
    phone.page.goto(f"/jobs/{phone.job}/more")
    phone.page.locator("details", has=phone.page.locator("#abandon")).locator("summary").click()
    phone.page.locator("#abandon").fill("The customer took the vehicle.")
    phone.settle(lambda: phone.page.locator("button.danger").click())


def day_check(browser: KeptBrowser, alone: Alone) -> None:
    browser.pair()
    alone.badge(NOOR)
    browser.page.locator(".day-check button").click()
    browser.page.locator("[data-step]").wait_for()
    browser.page.reload()
    expect(browser.page.locator("[data-ready]")).to_be_visible()


def test_a_job_leaves_the_phone_after_the_days_chosen_and_never_before_the_shop_has_all_of_it(
    browser: KeptBrowser, kit: dict[str, object], photo: str
) -> None:
    page, phone = browser.page, Alone(browser.page, kit, photo)
    day_check(browser, phone)
    job = phone.job
    aside = browser.context.new_page()
    aside.goto("/manifest.webmanifest")  # a page without any script of ours
    aside.evaluate(LOAD)
    page.goto("/phone/kept")
    page.locator("#days").select_option("1")
    page.get_by_role("button", name="Keep it so").click()
    expect(page.locator("#days option[selected]")).to_have_attribute("value", "1")
    page.goto(f"/jobs/{job}")

    # Over, and nobody at the shop knows: it stays, whatever day it may be there.
    browser.context.set_offline(True)
    abandon(phone)
    now = datetime.now(UTC)
    for days in (0, 2, 365):
        assert not tidied(aside, job, now + timedelta(days=days))
    (record,) = page.evaluate(READ, ["jobs", job])
    assert "done_ms" not in record or record["done_ms"] is None

    # The shop has it. The days are counted from here, by its clock alone.
    browser.context.set_offline(False)
    page.goto("/phone/kept")
    page.evaluate(SYNC)
    (record,) = page.evaluate(READ, ["jobs", job])
    done = datetime.fromtimestamp(record["done_ms"] / 1000, UTC)
    assert abs((done - datetime.now(UTC)).total_seconds()) < 3600
    page.reload()
    leaves = (done + timedelta(days=1)).astimezone().date().isoformat()
    expect(page.locator(f'.jobs a[href="/jobs/{job}"] .where')).to_contain_text(leaves)

    # The phone's clock may say what it likes.
    (worker,) = browser.context.service_workers
    worker.evaluate("Date.now = () => 4102444800000")
    page.evaluate(SYNC)
    assert all(held(page, job)[store] for store in ("jobs", "states", "events"))
    aside.reload()  # what it has counted holds as long as nobody else writes, and the worker did
    aside.evaluate(LOAD)
    # The server's may go back, and forth again.
    assert not tidied(aside, job, done - timedelta(days=400))
    assert not tidied(aside, job, done + timedelta(hours=23, minutes=59))
    assert tidied(aside, job, done + timedelta(days=1))


def test_an_exchange_with_the_shop_removes_what_has_stayed_long_enough(
    browser: KeptBrowser, kit: dict[str, object], photo: str
) -> None:
    page, phone = browser.page, Alone(browser.page, kit, photo)
    day_check(browser, phone)
    job = phone.job
    abandon(phone)
    page.goto("/phone/kept")
    page.evaluate(SYNC)
    for _ in range(6):
        page.evaluate(A_DAY_BEFORE, job)
    page.evaluate(SYNC)
    assert all(held(page, job)[store] for store in ("jobs", "states", "events"))
    page.evaluate(A_DAY_BEFORE, job)
    page.evaluate(SYNC)
    assert not any(held(page, job).values())  # a week is what is chosen at first
    page.goto(f"/jobs/{job}/steps")
    expect(page.get_by_role("heading", name="All steps")).to_be_visible()  # the shop has it


def test_what_the_shop_erased_goes_from_the_phone_when_it_hears_of_it(
    browser: KeptBrowser, alone: Alone, shop_folder: Path
) -> None:
    page, job = browser.page, alone.job
    abandon(alone)
    page.goto(f"/jobs/{job}")
    expect(page.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)
    page.goto("/phone/kept")
    assert all(held(page, job)[store] for store in ("jobs", "states", "events"))
    assert VIN in str(page.evaluate(READ, ["sheets", None]))
    made = engine(f"sqlite:///{shop_folder / 'baybook.db'}")
    with writing(made) as db:
        at = instant(datetime.now(UTC))
        for other in db.exec(select(Job).where(Job.vin == VIN, col(Job.phase).in_(("planning", "open")))):
            other.phase = "abandoned"  # other tests of this shop leave theirs
            db.add(other)
        privacy.erase(db, privacy.jobs_of_vehicle(db, VIN), privacy.WHAT, TOMAS.badge, "Asked for.", at)
    privacy.press(made)
    made.dispose()
    page.evaluate(SYNC)
    assert not any(held(page, job).values())
    for store in ("sheets", "shelf", "drafts", "events"):
        assert VIN not in str(page.evaluate(READ, [store, None])), store


# The shop was put back from an older backup and has nothing of the job: what is called then.
HOLD = """async ([device, job]) => {
  const { holdWhatTheyHold } = await import("/static/phone/restored.js");
  await holdWhatTheyHold(device, job, []);
}"""


def test_where_the_shop_has_lost_what_it_had_the_days_begin_anew(
    browser: KeptBrowser, kit: dict[str, object], photo: str
) -> None:
    page, phone = browser.page, Alone(browser.page, kit, photo)
    day_check(browser, phone)
    job = phone.job
    abandon(phone)
    page.goto("/phone/kept")
    page.evaluate(SYNC)
    (record,) = page.evaluate(READ, ["jobs", job])
    assert record["done_ms"] > 0
    (me,) = page.evaluate(READ, ["device", None])
    aside = browser.context.new_page()
    aside.goto("/manifest.webmanifest")
    aside.evaluate(HOLD, [me["id"], job])
    (record,) = page.evaluate(READ, ["jobs", job])
    assert record.get("done_ms") is None
    assert held(page, job)["events"]
