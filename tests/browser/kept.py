"""A Chromium with a profile that stays: it can be killed like a phone whose battery dies, and started again."""

import os
import signal
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, Playwright

from ..cast import ADA
from . import shop
from .phone import begin

CONTROLLED = """() => new Promise((done) => {
  if (navigator.serviceWorker.controller) done();
  navigator.serviceWorker.addEventListener("controllerchange", () => done());
})"""

# Waits until the shelf is on the disk, and the shop has been asked for its jobs.
STOCKED = """async () => {
  let known = [];
  const names = () => new Promise((done, failed) => {
    const opening = indexedDB.open("baybook");
    opening.onerror = () => failed(opening.error);
    opening.onsuccess = () => {
      const reading = opening.result.transaction("shelf").objectStore("shelf").getAllKeys();
      reading.onsuccess = () => {
        opening.result.close();
        done(reading.result);
      };
    };
  });
  while (!["library", "shelf", "told"].every((name) => known.includes(name))) known = await names();
}"""


def pair(page: Page) -> None:
    """Pair the phone with a code that a supervisor makes on it, and wait until its own server answers."""
    begin(page, ADA)
    page.goto("/phone/pair")
    page.get_by_role("button", name="Make a code").click()
    code = page.locator("[data-code]").inner_text()
    page.locator("[name=code]").fill(code)
    page.locator("[name=name]").fill("Phone of bay 1")
    page.get_by_role("button", name="Pair this phone").click()
    page.wait_for_url("**/")
    page.evaluate(CONTROLLED)


class KeptBrowser:
    """One browser and its profile; `page` is the tab that is open now. Scripts' errors are gathered in `troubles`."""

    def __init__(self, playwright: Playwright, profile: Path, address: str, flags: Sequence[str] = ()) -> None:
        self.playwright, self.profile, self.address, self.flags = playwright, profile, address, flags
        self.troubles: list[str] = []
        self.context: BrowserContext
        self.page: Page
        self.start()

    def start(self) -> None:
        while self._processes():
            os.sched_yield()  # one that was killed may not have ended yet
        self.is_killed = False
        self.context = self.playwright.chromium.launch_persistent_context(
            self.profile,
            executable_path=shop.CHROMIUM,
            args=[*shop.FLAGS, *self.flags],
            viewport=shop.PHONE,
            has_touch=True,
            base_url=self.address,
            locale="en-GB",
        )
        self.context.set_default_timeout(180_000)
        self.page = self._tab()

    def _tab(self) -> Page:
        page = self.context.new_page()
        page.on("pageerror", lambda error: self.troubles.append(str(error)))
        return page

    def _processes(self) -> list[int]:
        mine = f"--user-data-dir={self.profile}".encode()
        found = []
        for folder in Path("/proc").glob("[0-9]*"):
            with suppress(FileNotFoundError, ProcessLookupError):  # it has just ended
                if mine in (folder / "cmdline").read_bytes():
                    found.append(int(folder.name))
        return found

    def kill(self) -> None:
        """End all of it at once, as a flat battery does."""
        self.is_killed = True
        with suppress(ProcessLookupError):
            for group in {os.getpgid(one) for one in self._processes()} - {os.getpgrp()}:
                os.killpg(group, signal.SIGKILL)

    def stop_workers(self) -> None:
        """As the browser itself does when it wants the memory."""
        tools = self.context.new_cdp_session(self.page)
        tools.send("ServiceWorker.enable")
        tools.send("ServiceWorker.stopAllWorkers")
        tools.detach()

    def open_tab(self) -> None:
        """A new tab instead of the one that is open."""
        self.page.close()
        self.page = self._tab()

    def restart(self) -> None:
        with self.context.expect_event("close"):
            self.kill()
        self.start()

    def pair(self) -> None:
        pair(self.page)

    def stock(self) -> None:
        """Wait until the phone has all that it takes to begin a job alone."""
        self.page.evaluate(STOCKED)


@contextmanager
def stocked(playwright: Playwright, profile: Path, address: str, flags: Sequence[str] = ()) -> Iterator[KeptBrowser]:
    """A paired phone with the shop's shelf on board. When it is put away, none of its scripts may have had an error."""
    kept = KeptBrowser(playwright, profile, address, flags)
    kept.pair()
    kept.stock()
    yield kept
    kept.context.close()
    assert kept.troubles == []
