"""Waiting in a page for what takes a promise to find out, and for its phone to have asked the shop."""

from time import monotonic
from typing import Any

from playwright.sync_api import Error, Page

# Playwright's own wait_for_function takes the promise itself for a yes, and so never waits for such a question.
ASKED = """async ([arg, limit_ms]) => {{
  const holds = {holds};
  const from = performance.now();
  while (!(await holds(arg))) {{
    if (performance.now() - from > limit_ms) throw new Error("not so within " + limit_ms + " ms: " + holds);
    await new Promise((done) => setTimeout(done, 100));
  }}
}}"""
# Send and hear, once; the worker tells its pages when it is done, however that went.
SYNC = """() => new Promise((done) => {
  navigator.serviceWorker.addEventListener("message", ({ data }) => data.synced && done());
  navigator.serviceWorker.controller.postMessage("sync");
})"""
LIMIT_MS = 120_000
AWAY = "Execution context was destroyed"


def until(page: Page, holds: str, arg: Any = None) -> None:
    """Wait until that function of JavaScript, asynchronous or not, returns something true.

    A page that is opened anew meanwhile, as one is whose shop has come back, is asked again. Raises playwright's Error
    where it does not within two minutes.
    """
    ends = monotonic() + LIMIT_MS / 1000
    while True:
        try:
            page.evaluate(ASKED.format(holds=holds), [arg, LIMIT_MS])
        except Error as error:
            if AWAY not in error.message or monotonic() > ends:
                raise
            page.wait_for_load_state()
        else:
            return
