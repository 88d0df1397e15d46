"""A new version of the app waits for the end of the job, and reads what an older one has written."""

import json
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright, expect

from webapp.core.fold import step_of
from webapp.paths import STATIC

from ..cast import NOOR
from . import shop
from .alone import Alone
from .kept import CONTROLLED, KeptBrowser

pytestmark = pytest.mark.browser

CHECKOUT = STATIC.parent
# Look for a newer version, and tell what becomes of it: "activated", or "redundant" where it was not let in.
COMES = """async () => {
  const own = await navigator.serviceWorker.ready;
  const { installing, waiting, active } = await own.update();
  const coming = installing ?? waiting ?? active;
  while (!["activated", "redundant"].includes(coming.state)) {
    await new Promise((done) => coming.addEventListener("statechange", done, { once: true }));
  }
  return coming.state;
}"""
FILES_KEPT = "caches.keys().then((names) => names.filter((name) => name.startsWith('baybook-')).sort())"
# Hold what static/phone/files.js holds while it fetches, as soon as the version that comes now has fetched its own.
FETCHING = """async () => {
  const own = await navigator.serviceWorker.getRegistration();
  await own.update();
  const coming = own.installing;
  while (!(await navigator.locks.query()).held.some(({ name }) => name === "baybook-files"));
  navigator.locks.request("baybook-files", () => new Promise(() => undefined));
  while (coming.state !== "activated") {
    await new Promise((done) => coming.addEventListener("statechange", done, { once: true }));
  }
}"""


@pytest.fixture(scope="module")
def newer(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the app in which one word of the pages is another one."""
    folder = tmp_path_factory.mktemp("newer")
    for name in ("webapp", "procedures", ".ci"):
        shutil.copytree(CHECKOUT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(STATIC, folder / "static", ignore=shutil.ignore_patterns("node_modules", "app"))
    (folder / "static/node_modules").symlink_to(STATIC / "node_modules")
    words = folder / "static/messages/en.ftl"
    words.write_text(words.read_text().replace("\nsteps-title = All steps\n", "\nsteps-title = Every step\n"))
    subprocess.run([sys.executable, str(folder / ".ci/app.py")], check=True)
    return folder


@pytest.fixture
def deploy(tmp_path: Path) -> Iterator[Callable[[Path | None], str]]:
    """Serve one shop from a checkout: the running server ends, and another one takes its place."""
    port, procedures = str(shop.free_port()), shop.quick_procedures(tmp_path / "procedures")
    running = ExitStack()

    def served(checkout: Path | None) -> str:
        running.close()
        return running.enter_context(shop.serving(tmp_path / "data", procedures, PORT=port, checkout=checkout))

    yield served
    running.close()


def test_a_new_version_waits_for_the_end_of_the_job_and_touches_no_event(
    playwright: Playwright, deploy: Callable[[Path | None], str], newer: Path, tmp_path: Path, photo: str
) -> None:
    address = deploy(None)
    browser = KeptBrowser(playwright, tmp_path / "profile", address)
    phone = started(browser, shop.kit(tmp_path / "data"), photo)
    deploy(newer)
    assert browser.page.evaluate(COMES) == "redundant"

    # The job goes on with the version it was begun with, also through a reload.
    one_step(phone)
    browser.page.reload()
    expect_words(browser, phone.job, "All steps")
    browser.context.set_offline(True)
    browser.page.goto(f"/jobs/{phone.job}")
    one_step(phone)
    before, job = phone.journal()[1], phone.job

    # It does so where the phone dies meanwhile, whatever page it is opened at.
    browser.restart()
    phone.page = browser.page
    browser.page.goto("/")
    assert browser.page.evaluate(COMES) == "redundant"
    expect_words(browser, job, "All steps")
    assert browser.page.evaluate(COMES) == "redundant"

    # With a break, and no job's page open, the new one takes over and finds the journal as it was.
    browser.page.goto(f"/jobs/{job}")
    take_a_break(browser)
    before = [*before, phone.journal()[1][-1]]
    lines = {one["id"]: one["line"] for one in phone.read("events")}
    assert browser.page.evaluate(COMES) == "redundant"
    browser.page.goto("/phone/kept")
    expect(browser.page.get_by_text("A new version is here")).to_be_visible()
    assert browser.page.evaluate(COMES) == "activated"
    expect_words(browser, job, "Every step")
    browser.page.goto(f"/jobs/{job}")
    assert phone.journal()[1] == before
    assert {one["id"]: one["line"] for one in phone.read("events")} == lines
    expect(browser.page.locator("a[data-truth=agree]")).to_be_visible(timeout=60_000)
    assert browser.troubles == []
    browser.context.close()


def take_a_break(browser: KeptBrowser) -> None:
    browser.page.goto(f"{browser.page.url}/pause")
    browser.page.get_by_role("button", name="Break").click()
    browser.page.locator("[data-rest]").wait_for()


def expect_words(browser: KeptBrowser, job: str, words: str) -> None:
    """By one word of it a page tells which version answers."""
    browser.page.goto(f"/jobs/{job}/steps")
    expect(browser.page.get_by_role("heading", name=words)).to_be_visible()


def test_a_version_that_settles_in_clears_nothing_up_while_another_is_fetching_its_files(
    playwright: Playwright, deploy: Callable[[Path | None], str], newer: Path, tmp_path: Path, photo: str
) -> None:
    browser = KeptBrowser(playwright, tmp_path / "profile", deploy(None))
    started(browser, shop.kit(tmp_path / "data"), photo)
    take_a_break(browser)
    (own,) = browser.page.evaluate(FILES_KEPT)
    deploy(newer)
    browser.page.goto("/manifest.webmanifest")  # a page without any script of ours
    browser.page.evaluate(FETCHING)
    both = browser.page.evaluate(FILES_KEPT)
    assert len(both) == 2
    assert own in both
    browser.context.close()


# Lay down a storage as an older version of the app left it; only its key, which no file can hold, is a new one.
LAY = """async ({ version, stores, indexes, records }) => {
  const pair = await crypto.subtle.generateKey({ name: "ECDSA", namedCurve: "P-256" }, false, ["sign", "verify"]);
  for (const one of records.device) one.key = pair.privateKey;
  const opening = indexedDB.open("baybook", version);
  opening.onupgradeneeded = () => {
    for (const [name, keyPath] of Object.entries(stores)) opening.result.createObjectStore(name, { keyPath });
    for (const [store, name, path] of indexes) opening.transaction.objectStore(store).createIndex(name, path);
  };
  const held = await new Promise((done) => (opening.onsuccess = () => done(opening.result)));
  const writing = held.transaction(Object.keys(stores), "readwrite");
  for (const [name, all] of Object.entries(records)) for (const one of all) writing.objectStore(name).put(one);
  await new Promise((done) => (writing.oncomplete = done));
  held.close();
  localStorage.setItem("baybook-device", records.device[0].id);
}"""


@pytest.mark.parametrize(
    "sample", sorted((Path(__file__).parent / "samples").glob("storage-*.json")), ids=lambda path: path.stem
)
def test_a_job_goes_on_from_what_an_older_version_has_kept(
    browser: KeptBrowser, kit: dict[str, Any], photo: str, sample: Path
) -> None:
    old = json.loads(sample.read_text())
    lines = {one["id"]: one["line"] for one in old["records"]["events"]}
    (job,) = (one["job"] for one in old["records"]["jobs"])
    browser.page.goto("/badge")
    browser.page.evaluate(LAY, old)
    browser.page.reload()
    browser.page.evaluate(CONTROLLED)
    browser.page.goto(f"/jobs/{job}")

    phone = Alone(browser.page, kit, photo)
    unsent = sum("unsent" in one for one in old["records"]["events"])
    expect(browser.page.locator("a[data-truth=kept]")).to_have_text(f"ready offline · {unsent} to send")
    one_step(phone)
    now = {one["id"]: one["line"] for one in phone.read("events")}
    assert len(now) == len(lines) + 1
    assert lines.items() <= now.items()
    assert phone.read("states")[0]["state"]["count"] == len(now)


def one_step(phone: Alone) -> None:
    step = step_of(phone.journal()[0], phone.at())
    assert step
    phone.do(step)


def started(browser: KeptBrowser, kit: dict[str, Any], photo: str) -> Alone:
    browser.pair()
    phone = Alone(browser.page, kit, photo)
    phone.badge(NOOR)
    browser.page.locator(".day-check button").click()
    browser.page.locator("[data-step]").wait_for()
    browser.page.reload()
    expect(browser.page.locator("[data-ready]")).to_be_visible()
    return phone
