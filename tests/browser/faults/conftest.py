"""What the rounds came to, told at the end of the run."""

from collections import Counter
from typing import Any

import pytest

TALLY = pytest.StashKey[Counter[str]]()


@pytest.fixture(scope="session")
def tally(request: pytest.FixtureRequest) -> Counter[str]:
    return request.config.stash.setdefault(TALLY, Counter())


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    if told := config.stash.get(TALLY, None):
        rounds, events = told.pop("rounds", 0), told.pop("events", 0)
        kinds = ", ".join(f"{name} {count}" for name, count in sorted(told.items()))
        line = f"{rounds} rounds, {told.total()} faults ({kinds}), {events} events of phones, each there once"
        terminalreporter.write_line(line)
