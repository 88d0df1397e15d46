"""Many shops send at once over bad lines, while head office's processes and its database's are killed.

OFFICE_SHOPS=200 OFFICE_JOBS=500 SEED=7 pytest -s tests/office/test_storm.py        # as `make soak` does
"""

import hashlib
import json
import os
import sys
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from random import Random

import pytest

from tests import postgres
from tests.databases import Databases
from webapp.core.evidence import journal_digest

from .conftest import Kept, close_shop, open_shop
from .simulated import Pattern, Simulated
from .weather import DEEDS, Sender, Served, Storm, head_office

SHOPS, JOBS = int(os.environ.get("OFFICE_SHOPS", "4")), int(os.environ.get("OFFICE_JOBS", "6"))
SEED = int(os.environ.get("SEED", "1"))
SPACED = 1 + SHOPS * JOBS // (2000 * (1 + JOBS // 100))
"""So many times the requests between two deeds where there are more of them: else a long storm would mend all the time.
Shops with many jobs send more of them in one."""
REAL = 2
"""So many of the shops have a real database and photos; the others are held in memory."""
ADDED_UP_ANEW = 8
"""Of so many of the others, too, the months are added up once more."""

Opened = Callable[[Served], list[Sender]]


@pytest.fixture
def shops_of(databases: Databases, history_folder: Path, tmp_path: Path) -> Iterator[Opened]:
    """Opens shops that have joined a head office and have sent nothing yet."""
    with ExitStack() as held:

        def make(office: Served) -> list[Sender]:
            real = []
            for number in range(REAL):
                real.append(open_shop(databases, history_folder, tmp_path / f"shop-{number}", office))
                held.callback(close_shop, databases, real[-1])
                real[-1].join(office.code(f"Real {number}"))
            pattern = Pattern.of(real[0].bundle())
            simulated = [Simulated(pattern, Random(f"{SEED} jobs {number}")) for number in range(SHOPS - REAL)]
            for number, one in enumerate(simulated):
                one.work(JOBS)
                one.join(office.exchange, office.code(f"Simulated {number}", "South"))
            return [*real, *simulated]

        yield make


def assert_all_is_there_once(office: Kept, shops: list[Sender]) -> None:
    """What head office holds of each shop is what that shop has, by its digests; and nothing else."""
    assert office.count("aside") == 0
    assert office.count("shop") == len(shops)
    for shop in shops:
        name, texts = shop.name(), shop.entries()
        assert office.rows("SELECT text FROM office.entry WHERE shop = :s ORDER BY number", s=name) == [
            (text,) for text in texts
        ]
        said = {one["job"]: one for one in map(json.loads, texts)}
        assert shop.arrived() == len(texts) == len(said)
        jobs = office.rows("SELECT id, journal, events, sheet FROM office.job WHERE shop = :s", s=name)
        assert sorted(jobs) == sorted(
            (one["job"], one["journal"], one["events"], one["sheet"]) for one in said.values()
        )
        sheets = office.rows("SELECT body FROM office.sheet WHERE shop = :s", s=name)
        assert sorted(_sha256(body) for (body,) in sheets) == sorted(one["sheet"] for one in said.values())
        lines: dict[str, list[tuple[str, int, str]]] = {}
        for job, device, seq, line in office.rows(
            "SELECT job, device, seq, line FROM office.event WHERE shop = :s", s=name
        ):
            lines.setdefault(job, []).append((device, seq, _sha256(line)))
        found = {job: (journal_digest(held), len(held)) for job, held in lines.items()}
        assert found == {one["job"]: (one["journal"], one["events"]) for one in said.values()}
    assert office.rows("SELECT shop, sha256 FROM office.photo WHERE NOT here") == []


def assert_what_is_added_up_is_of_the_jobs(office: Kept, shops: list[Sender]) -> None:
    for shop in shops[: REAL + ADDED_UP_ANEW]:
        assert office.months(shop.name()) == office.months_anew(shop.name()) != []


def tell(what: str) -> None:
    """For whoever looks at the test's output: a storm is told of by its seed and what went wrong in it."""
    sys.stdout.write(f"\nSEED={SEED}: {what}\n")


def _sha256(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def test_a_storm_loses_and_doubles_nothing(shops_of: Opened, tmp_path: Path) -> None:
    dice, struck = Random(f"{SEED} deeds"), Counter[str]()
    with postgres.serving() as server, head_office(tmp_path / "office", server) as office:
        shops = shops_of(office)
        storm = Storm(office, shops, SEED)
        with storm.blowing():
            while storm.after(dice.randint(8, 20) * SPACED):
                lacking = [one for one in DEEDS if not struck[one]]
                deed = dice.choice(lacking or list(DEEDS))
                struck[deed] += DEEDS[deed](office, dice)
        tell(f"{storm}; {dict(struck)}")
        assert all(struck[one] for one in DEEDS)
        assert_all_is_there_once(office, shops)
        assert_what_is_added_up_is_of_the_jobs(office, shops)
        assert office.count("time") >= office.count("job") == sum(len(one.entries()) for one in shops)


def test_a_standby_takes_over_in_mid_run(shops_of: Opened, tmp_path: Path) -> None:
    """The first server is lost for good; what it had said was kept is on the second, to which head office goes over."""
    with (
        postgres.serving() as primary,
        postgres.standing_by(primary) as standby,
        head_office(tmp_path / "office", primary, standby) as office,
    ):
        shops = shops_of(office)
        storm = Storm(office, shops, SEED)
        with storm.blowing():
            assert storm.after(12)
            postgres.kill(primary)
            before = sum(one.arrived() for one in shops)
            assert storm.after(10)
            postgres.promote(standby)
            second = office.at(standby)
            assert second.count("entry") >= before > 0
        tell(f"{storm}; {before} entries had arrived at the first")
        assert sum(one.arrived() for one in shops) > before
        assert storm.told["database-away"] > 0
        assert_all_is_there_once(second, shops)
        assert_what_is_added_up_is_of_the_jobs(second, shops)
        second.engine.dispose()
