"""The phone works a job without network and without server, and nothing of it is lost."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect, sync_playwright

from ..cast import ADA, NOOR
from .alone import PANELS, Alone
from .kept import KeptBrowser
from .shop import take_in

pytestmark = pytest.mark.browser


@pytest.fixture
def browser(server: str, tmp_path: Path) -> Iterator[KeptBrowser]:
    with sync_playwright() as playwright:
        kept = KeptBrowser(playwright, tmp_path / "profile", server)
        yield kept
        kept.context.close()
        assert kept.troubles == []


@pytest.fixture
def phone(browser: KeptBrowser, kit: dict[str, Any], photo: str) -> Alone:
    """A paired phone at the first step of a job that it can work alone."""
    browser.pair()
    phone = Alone(browser.page, kit, photo)
    phone.badge(NOOR.label)
    take_in(browser.page, phone)
    browser.page.reload()
    expect(browser.page.locator("[data-ready]")).to_be_visible()
    return phone


def test_a_job_goes_on_without_network_through_a_reload_and_a_flat_battery(browser: KeptBrowser, phone: Alone) -> None:
    job, at_server = phone.job, len(browser.page.request.get(f"/jobs/{phone.job}/journal.jsonl").text().splitlines())
    browser.context.set_offline(True)
    phone.work(until="/secured")  # choices, confirmations, measurements, scans by wedge, a photo
    done = {one.kind for one in phone.journal()[1]}
    assert done >= {"started", "chosen", "confirmed", "measured", "scanned", "photographed"}
    for panel in ("", *PANELS):
        assert phone.html(f"/{panel}" if panel else "") == phone.html_of_server(panel)

    # Nobody can countersign where a PIN cannot be checked; the page says so, and nothing is kept.
    before = phone.state()
    phone.main()
    phone.countersign()
    expect(browser.page.locator(".refused")).to_contain_text("a countersign needs the shop's network")
    assert phone.state().count == before.count + 1

    # The battery dies. The phone comes back to the same step with all of it, the photo too.
    events = phone.read("events")
    browser.restart()
    browser.context.set_offline(True)
    phone.page = browser.page
    browser.page.goto(f"/jobs/{job}")
    assert phone.at() == "reference-axis/secured"
    assert phone.read("events") == events
    (photo,) = phone.read("photos")
    assert photo["sha256"] in {one["data"].get("sha256") for one in events}

    # Within the shop's network the supervisor countersigns; then it goes on alone, a countdown through a reload.
    browser.context.set_offline(False)
    phone.countersign()
    assert phone.state().steps["reference-axis/secured"].countersigned_by == ADA.badge
    browser.context.set_offline(True)
    phone.work(until="/settle")
    phone.main()
    browser.page.reload()
    phone.after_wait()
    phone.work(until="/hang-boards")
    assert "waited" in {one.kind for one in phone.journal()[1]}
    lines = browser.page.request.get(f"/jobs/{job}/journal.jsonl").text().splitlines()
    assert len({one.boot for one in phone.journal()[1] if one.device != "server"}) == 1  # no interval was guessed
    assert len(lines) == at_server  # the shop has heard of nothing yet
