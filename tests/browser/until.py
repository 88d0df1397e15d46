"""Waiting in a page for what takes a promise to find out."""

from typing import Any

from playwright.sync_api import Page

# Playwright's own wait_for_function takes the promise itself for a yes, and so never waits for such a question.
ASKED = """async ([arg, limit_ms]) => {{
  const holds = {holds};
  const from = performance.now();
  while (!(await holds(arg))) {{
    if (performance.now() - from > limit_ms) throw new Error("not so within " + limit_ms + " ms: " + holds);
    await new Promise((done) => setTimeout(done, 100));
  }}
}}"""
LIMIT_MS = 120_000


def until(page: Page, holds: str, arg: Any = None) -> None:
    """Wait until that function of JavaScript, asynchronous or not, returns something true.

    Raises playwright's Error where it does not within two minutes, or the page goes elsewhere.
    """
    page.evaluate(ASKED.format(holds=holds), [arg, LIMIT_MS])
