"""What lint finds, where, and in which words; and that what we ship has nothing to find."""

from pathlib import Path

import pytest

from webapp.library.lint import lint, report
from webapp.paths import PROCEDURES

from .mistakes import GOOD, Mistake, mistakes


@pytest.mark.parametrize("mistake", mistakes(), ids=lambda one: one.title)
def test_every_mistake_is_found_on_its_line_and_nothing_else_is(mistake: Mistake, tmp_path: Path) -> None:
    expected = mistake.make(tmp_path / "library")
    assert [str(found) for found in lint(tmp_path / "library")] == expected
    assert expected


def test_a_good_library_has_no_findings() -> None:
    assert lint(GOOD) == []
    assert report(GOOD) == (["good: clean"], 0)


def test_the_library_we_ship_is_clean() -> None:
    assert [str(found) for found in lint(PROCEDURES)] == []
