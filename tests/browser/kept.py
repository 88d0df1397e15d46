"""A Chromium with a profile that stays: it can be killed like a phone whose battery dies, and started again."""

import os
import signal
from pathlib import Path

from playwright.sync_api import BrowserContext, Page, Playwright

from . import shop

CONTROLLED = """() => new Promise((done) => {
  if (navigator.serviceWorker.controller) done();
  navigator.serviceWorker.addEventListener("controllerchange", () => done());
})"""
PAIRED = "localStorage.setItem('baybook-device', '1')"


class KeptBrowser:
    """One browser and its profile; `page` is the tab that is open now. Scripts' errors are gathered in `troubles`."""

    def __init__(self, playwright: Playwright, profile: Path, address: str) -> None:
        self.playwright, self.profile, self.address = playwright, profile, address
        self.troubles: list[str] = []
        self.context: BrowserContext
        self.page: Page
        self.start()

    def start(self) -> None:
        self.context = self.playwright.chromium.launch_persistent_context(
            self.profile,
            executable_path=shop.CHROMIUM,
            args=shop.FLAGS,
            viewport=shop.PHONE,
            base_url=self.address,
            locale="en-GB",
        )
        self.context.set_default_timeout(60_000)
        self.page = self.context.new_page()
        self.page.on("pageerror", lambda error: self.troubles.append(str(error)))

    def kill(self) -> None:
        """End it at once, as a flat battery does."""
        mine = f"--user-data-dir={self.profile}".encode()
        for folder in Path("/proc").glob("[0-9]*"):
            try:
                if mine in (folder / "cmdline").read_bytes():
                    os.kill(int(folder.name), signal.SIGKILL)
            except (FileNotFoundError, ProcessLookupError):
                continue  # it ended with its parent

    def restart(self) -> None:
        with self.context.expect_event("close"):
            self.kill()
        self.start()

    def pair(self) -> None:
        """Let the phone's own server start, and wait until it answers for this tab."""
        self.page.goto("/")
        self.page.evaluate(PAIRED)
        self.page.reload()
        self.page.evaluate(CONTROLLED)
