"""A real browser and a real server, and everything that can go wrong between them at any moment; nothing is lost.

    ROUNDS=200 SEED=7 pytest -s tests/browser/faults      # part of `make soak`

Rounds come by the tens from a seed, on one shop with one phone or two, and the test's name says which. A seed that
fails is added to tests/cases/faults.json, and is played first in every long run from then on.
"""

import json
import os
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Playwright, sync_playwright

from tests.cast import ILYA, NOOR
from webapp.core.procedure import Library
from webapp.library.load import load

from .. import shop
from ..kept import KeptBrowser
from ..wire import Wire
from .checks import check
from .hands import Hands
from .jobs import new_job
from .rounds import Bench, Round
from .server import Server

pytestmark = pytest.mark.browser

ROUNDS = int(os.environ.get("ROUNDS", "20"))
SEED = int(os.environ.get("SEED", "1"))
FROM_ONE_SEED = 10
JOBS = 2
CASES = Path(__file__).parents[2] / "cases" / "faults.json"


class Shop:
    """A shop with phones that hold its two open jobs."""

    def __init__(self, playwright: Playwright, folder: Path, phones: int, dice: Random) -> None:
        self.dice, self.sheets = dice, dict[str, Any]()
        self.server = Server(folder)
        self.library: Library = load(self.server.procedures)
        self.wire = Wire(self.server.port)
        self.bench = Bench(self.server, self.wire, [], [])
        photo, kit = shop.photo(folder), shop.kit(self.server.data)
        for number in range(phones):
            kept = KeptBrowser(playwright, folder / f"profile-{number}", f"http://127.0.0.1:{self.wire.port}")
            one = Hands(kept, kit, photo, self.sheets)
            kept.pair()
            one.badge((NOOR, ILYA)[number])
            self.bench.hands.append(one)

    def open_jobs(self) -> None:
        """As many as are wanted, where some have ended."""
        ended = {job for one in self.bench.hands for job in one.ended}
        self.bench.jobs[:] = [job for job in self.bench.jobs if job not in ended]
        while len(self.bench.jobs) < JOBS:
            sheet = new_job(self.server.database, self.library, self.dice)
            self.sheets[sheet["job"]["id"]] = sheet
            self.bench.jobs.append(sheet["job"]["id"])
        for one in self.bench.hands:
            one.bring_home(self.bench.jobs[0])

    def close(self) -> None:
        for one in self.bench.hands:
            if not one.browser.is_killed:
                one.browser.context.close()
        self.wire.close()
        self.server.close()


@contextmanager
def opened(folder: Path, phones: int, dice: Random) -> Iterator[Shop]:
    with sync_playwright() as playwright, ExitStack() as ends:
        made = Shop(playwright, folder, phones, dice)
        ends.callback(made.close)
        yield made


def _runs() -> list[Any]:
    kept = json.loads(CASES.read_text()) if ROUNDS > 20 else []
    whole, rest = divmod(ROUNDS, FROM_ONE_SEED)
    counts = [FROM_ONE_SEED] * whole + [rest] * bool(rest)
    phones = 2 if ROUNDS > 20 else 1  # two browsers are slow: they are for the long run
    fresh = [{"seed": SEED + n, "rounds": count, "phones": 1 + n % phones} for n, count in enumerate(counts)]
    return [pytest.param(run, id="seed-{seed}-phones-{phones}".format(**run)) for run in [*kept, *fresh]]


@pytest.mark.parametrize("run", _runs())
def test_nothing_that_a_phone_has_promised_is_lost(run: dict[str, int], tmp_path: Path, tally: Counter[str]) -> None:
    dice = Random(run["seed"])
    try:
        with opened(tmp_path, run["phones"], dice) as made:
            for number in range(run["rounds"]):
                made.open_jobs()
                Round(made.bench, f"{run['seed']} {number}").work()
                events = check(made.bench, made.sheets)
            assert [trouble for one in made.bench.hands for trouble in one.browser.troubles] == []
            tally.update(made.bench.faults)
            tally.update({"rounds": run["rounds"], "events": events})
    except Exception:
        _keep_case(run)
        raise


def _keep_case(run: dict[str, int]) -> None:
    kept = json.loads(CASES.read_text())
    if run not in kept:
        CASES.write_text(json.dumps([*kept, run], indent=2) + "\n")
