"""What a first visit to the checklist moves over the wire stays small: the shop's network reaches a bay barely."""

import pytest
from playwright.sync_api import Browser

from ..bench import page_size

pytestmark = pytest.mark.browser


def test_no_step_of_the_checklist_takes_more_than_it_may(chromium: Browser) -> None:
    measured = page_size.measure(chromium)
    assert measured["largest_kb"] <= page_size.ALLOWED_KB, measured["largest"]
    assert len(measured["pages_kb"]) >= 8  # a step of every kind
