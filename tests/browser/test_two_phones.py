"""What a phone took for true and the shop then refuses, as the users of both phones see it."""

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Playwright, expect

from webapp.core.fold import step_of

from ..cast import ADA, ILYA
from .alone import Alone
from .kept import KeptBrowser

pytestmark = pytest.mark.browser


def test_a_wrong_pin_given_offline_is_told_on_both_phones(
    browser: KeptBrowser,
    alone: Alone,
    playwright: Playwright,
    server: str,
    kit: dict[str, Any],
    photo: str,
    tmp_path: Path,
) -> None:
    phone, job, page = alone, alone.job, browser.page
    browser.context.set_offline(True)
    phone.work(until="/secured")
    held = phone.at()
    phone.main()
    page.locator("[name=badge]").fill(ADA.label)
    page.locator("[name=pin]").fill("9753")
    phone.main()
    assert phone.at() != held  # the phone cannot know, and says so
    expect(page.locator("[data-provisional]")).to_contain_text("until the shop has checked")

    browser.context.set_offline(False)
    page.reload()
    expect(page.locator("a[data-truth=agree]")).to_be_visible(timeout=60_000)
    page.reload()
    expect(page.locator(".apart summary")).to_have_text("◐ One thing to look at on this job")
    page.locator(".apart summary").click()
    expect(page.locator(".apart")).to_contain_text("The supervisor's PIN did not hold.")
    expect(page.locator(".apart")).to_contain_text(str((step_of(phone.journal()[0], held or "") or {})["do"]))
    expect(page.locator("[data-provisional]")).to_have_count(0)

    other = KeptBrowser(playwright, tmp_path / "other", server)
    other.pair()
    second = Alone(other.page, kit, photo)
    second.badge(ILYA)
    other.page.goto(f"/jobs/{job}")
    expect(other.page.locator(".apart")).to_contain_text("The supervisor's PIN did not hold.")
    other.page.reload()
    expect(other.page.locator("[data-ready]")).to_be_visible(timeout=60_000)
    other.context.set_offline(True)
    other.page.goto(f"/jobs/{job}")
    other.page.locator(".apart summary").click()
    expect(other.page.locator(".apart")).to_contain_text("The supervisor's PIN did not hold.")
    other.context.close()
