"""What a first visit to the checklist moves over the wire stays small: the shop's network reaches a bay barely."""

import pytest

from ..bench import page_size

pytestmark = pytest.mark.browser


def test_no_step_of_the_checklist_takes_more_than_it_may() -> None:
    measured = page_size.run()
    assert measured["largest_kb"] <= page_size.ALLOWED_KB, measured["largest"]
    assert len(measured["pages_kb"]) >= 8  # a step of every kind
