"""Jobs of one calibration added up: counts that add up further, by shop, month and region alike."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol

import numpy as np

from webapp.core import portions
from webapp.core.binned import WHOLE, Binned, Counts, counted, packed, together
from webapp.core.portions import Portion, Spent
from webapp.core.statistics import Rate, Summary, pass_rate, summary


class Row(Protocol):
    """A row of a table, or what stands for one: a value by its name."""

    def __getitem__(self, name: str, /) -> Any: ...


Told = Mapping[str, Any]
"""What a shop told of where a job's time went (`took.spent_of`)."""
NUMBERS = ("jobs", "known", "passed", "whole_s", "shared_s")
BINNED = ("times", "own", "shared")
NOTHING: Counts = np.zeros(WHOLE.bins, np.int64)


@dataclass(frozen=True)
class Sums:
    """`jobs` of them in all; `known` had a verdict, `passed` it the first time.

    The times (`times` the whole, `own` steps, the `shared` set-up's part, and their sums in seconds) are of the jobs
    that count: the scan tool said done, and no clock broke on the way. Counts that nobody asked for are `NOTHING`.
    """

    jobs: int
    known: int
    passed: int
    whole_s: float
    shared_s: float
    times: Counts
    own: Counts
    shared: Counts

    @property
    def counted(self) -> int:
        return int(self.times.sum())

    @cached_property
    def whole(self) -> Summary | None:
        """None for too few jobs, as all summaries."""
        return _summary(self.times)

    @property
    def rate(self) -> Rate:
        return pass_rate(self.passed, self.known)

    @property
    def setup_share(self) -> float | None:
        return self.shared_s / self.whole_s if self.whole and self.whole_s else None


def _summary(counts: Counts) -> Summary | None:
    return summary(Binned(counts)) if counts.any() else None


def total(rows: Iterable[Row], binned: Sequence[str] = BINNED) -> Sums:
    """The sum of rows that were kept, with the columns `NUMBERS` and those of the counted times that are asked for."""
    some = list(rows)
    numbers: dict[str, Any] = {name: sum(row[name] for row in some) for name in NUMBERS}
    counts: dict[str, Any] = dict.fromkeys(BINNED, NOTHING)
    counts |= {name: together(row[name] or b"" for row in some) for name in binned}
    return Sums(**numbers, **counts)


def added(some: Sequence[Sums]) -> Sums:
    """The sum of sums."""
    numbers: dict[str, Any] = {name: sum(getattr(one, name) for one in some) for name in NUMBERS}
    counts: dict[str, Any] = {name: sum((getattr(one, name) for one in some), NOTHING) for name in BINNED}
    return Sums(**numbers, **counts)


def kept(rows: Sequence[Row]) -> dict[str, Any]:
    """The same as it is kept: rows that were kept together once more."""
    sums = total(rows)
    made: dict[str, Any] = {name: getattr(sums, name) for name in NUMBERS}
    made |= {name: packed(getattr(sums, name)) for name in BINNED}
    return made | {"vehicles": sorted({one for row in rows for one in row["vehicles"]})}


def merged(one: Row, other: Row) -> dict[str, Any]:
    """Two rows of the same shop, month and calibration, as one."""
    return kept([one, other]) | {"portions": portioned([one, other])}


def portioned(rows: Iterable[Row]) -> bytes:
    return portions.packed(portions.together(row["portions"] or b"" for row in rows))


def of_jobs(rows: Sequence[Row], spent: Mapping[str, Told]) -> dict[str, Any]:
    """Add up jobs' own rows of office.time, of one calibration; `spent` is by job what its shop told of its steps."""
    timed = [row for row in rows if row["outcome"] == "done" and not row["estimated"]]
    own, shared = [row["own_s"] for row in timed], [row["shared_s"] for row in timed]
    whole = [a + b for a, b in zip(own, shared, strict=True)]
    return {
        "jobs": len(rows),
        "known": sum(row["first_time_pass"] is not None for row in rows),
        "passed": sum(row["first_time_pass"] is True for row in rows),
        "whole_s": sum(whole),
        "shared_s": sum(shared),
        "times": packed(counted(whole)),
        "own": packed(counted(own)),
        "shared": packed(counted(shared)),
        "vehicles": sorted({row["vehicle"] for row in rows if row["vehicle"]}),
        "portions": portions.packed(spent_on(rows, spent)),
    }


def spent_on(rows: Iterable[Row], spent: Mapping[str, Told]) -> list[Portion]:
    """The portions of these jobs."""
    made = Spent()
    for row in rows:
        if said := spent.get(row["job"]):
            made.add(row["calibration"], said, estimated=row["estimated"])
    return made.portions()
