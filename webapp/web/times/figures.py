"""From the columns of finished jobs to the figures that a page shows.

Statistics are made of the jobs that count: the scan tool said done, and no clock broke on the way. The others are
shown and counted beside them, never dropped in silence.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from webapp.core.shift import Shift, shift
from webapp.core.statistics import FEWEST, Middle, Ranks, Rate, Summary, middle, pass_rate, quantile, summary
from webapp.storage.figures import Extra, Steps, Types
from webapp.storage.packed import FIRST_UNKNOWN, OUTCOMES, REASONS

DONE = OUTCOMES.index("done")
FINISHING = REASONS.index("finishing")


@dataclass(frozen=True)
class TypeFigures:
    """One calibration type: `found` are all jobs that are meant, in order; the summaries are of those that count."""

    calibration: str
    found: Types
    whole: Summary | None
    own: Summary | None
    shared: Summary | None
    rate: Rate
    setup_share: float | None

    @property
    def n(self) -> int:
        return len(self.found)

    @property
    def counted(self) -> int:
        return int(self.found.counted.sum())

    @property
    def left_out(self) -> int:
        """How many jobs are shown and counted, and not in the statistics."""
        return self.n - self.counted


def type_figures(calibration: str, found: Types, *, parts: bool = True) -> TypeFigures:
    """Work out the figures; without `parts` the summaries of own steps and of the set-up's share are left out."""
    whole, _ = found.ranked("whole_s")
    spent, shared = float(whole.sum()), float(np.compress(found.counted, found.shared_s).sum())
    return TypeFigures(
        calibration=calibration,
        found=found,
        whole=_summary(whole),
        own=_summary(found.ranked("own_s")[0]) if parts else None,
        shared=_summary(found.ranked("shared_s")[0]) if parts else None,
        rate=pass_rate(int((found.first == 1).sum()), int((found.first != FIRST_UNKNOWN).sum())),
        setup_share=shared / spent if len(whole) >= FEWEST and spent else None,
    )


def _summary(in_order: NDArray[Any]) -> Summary | None:
    return summary(Ranks(in_order, in_order=True))


MOST_GROUPS = 12


@dataclass(frozen=True)
class Group:
    """Some jobs one after another: when the first and the last of them ended, in Unix milliseconds, and their times."""

    begin_ms: int
    end_ms: int
    n: int
    found: Middle


def trend(found: Types, *, sure: bool = True) -> list[Group]:
    """Jobs that count, in groups one after another: as many as `FEWEST` in each allow, up to a dozen; none for one.

    Each group has the same number of jobs, so that each stands as firmly as the next. Unless `sure`, medians alone.
    """
    whole, place = found.ranked("whole_s")
    groups = min(MOST_GROUPS, len(whole) // FEWEST)
    if groups < 2:
        return []
    ends = np.linspace(0, len(whole), groups + 1).round().astype(np.intp)
    # Which group each value belongs to; a stable sort by that leaves them in order within it.
    group = np.repeat(np.arange(groups, dtype=np.uint8), np.diff(ends)).take(place)
    by_group = np.split(whole.take(np.argsort(group, kind="stable")), ends[1:-1])
    counted = np.flatnonzero(found.counted)
    begun, done = found.only(counted[ends[:-1]]).finished_ms, found.only(counted[ends[1:] - 1]).finished_ms
    return [
        Group(int(begin), int(end), len(values), one)
        for begin, end, values in zip(begun, done, by_group, strict=True)
        if (one := middle(Ranks(values, in_order=True), sure=sure))
    ]


BINS = 16
WIDE = 2.2
"""A distribution is drawn up to so many times its median; what lies beyond is one bar more."""


@dataclass(frozen=True)
class Bin:
    """Jobs whose time lies from `low_s` up to `high_s`; the last bin has no upper end."""

    low_s: float
    high_s: float | None
    n: int


def distribution(found: Types) -> list[Bin]:
    """How many of the jobs that count took how long, in bins of equal width; none where there are too few."""
    whole, _ = found.ranked("whole_s")
    if len(whole) < FEWEST:
        return []
    edges = spans(quantile(Ranks(whole, in_order=True), 0.5))
    return bars(edges, np.diff(np.append(np.searchsorted(whole, edges), len(whole))))


def spans(median_s: float) -> NDArray[np.float64]:
    """Where the bins of a distribution begin; the last one has no end."""
    top = median_s * WIDE
    width = next((one for one in (30, 60, 120, 300, 600, 900, 1200, 1800, 3600) if top / one <= BINS), 7200)
    return np.arange(0, top + width, width, dtype=np.float64)


def bars(edges: NDArray[np.float64], counts: NDArray[Any]) -> list[Bin]:
    """A distribution with so many jobs from each edge on, without what is empty at either end."""
    first = int(np.flatnonzero(counts)[0])
    bins = [
        Bin(float(edge), float(edges[number + 1]) if number + 1 < len(edges) else None, int(count))
        for number, (edge, count) in enumerate(zip(edges, counts, strict=True))
    ][max(first - 1, 0) :]
    while bins and not bins[-1].n:
        bins.pop()
    return bins


SHOWN = 7


@dataclass(frozen=True)
class Line:
    """Where some of the time goes: a step, a wait, a pause.

    `n` jobs had it. `share` is its part of all such time in the jobs that are meant, `so_far` that of it and all above.
    """

    name: str
    n: int
    found: Summary | None
    seconds: float
    share: float = 0.0
    so_far: float = 0.0
    again: int = 0


@dataclass(frozen=True)
class Section:
    """Lines that belong together, that which takes most of all time first."""

    lines: tuple[Line, ...]

    @property
    def longest(self) -> tuple[Line, ...]:
        """The few that a page shows at once: all of them where that folds away no more than one."""
        return self.lines if len(self.lines) <= SHOWN + 1 else self.lines[:SHOWN]

    @property
    def others(self) -> tuple[Line, ...]:
        return self.lines[len(self.longest) :]

    @property
    def widest_s(self) -> float:
        """The longest 80th percentile, or median where there is none: as far as its bars reach."""
        return max((line.found.p80 for line in self.lines if line.found), default=0.0)


def steps(found: Sequence[Steps], beside: Iterable[Extra], *, own: bool) -> Section:
    """The calibration's own steps, or its share of the set-up's, by what each adds to the whole."""
    again = {one.step: one.again for one in beside}
    return section(
        Line(
            one.step,
            len(one.seconds),
            _summary(one.seconds),
            float(one.seconds.sum()),
            again=again.get(one.step, 0),
        )
        for one in found
        if one.own == own
    )


def waits(beside: Iterable[Extra]) -> Section:
    """The steps that were held for a countersign, and for how long."""
    return section(
        Line(one.step, len(one.waited_s), _summary(one.waited_s), float(one.waited_s.sum()))
        for one in beside
        if len(one.waited_s)
    )


def pauses(found: Types) -> Section:
    """The jobs' pauses by reason."""
    lines = []
    for number, reason in enumerate(REASONS):
        seconds = found.paused_s(number)
        if number != FINISHING and len(seconds):
            lines.append(Line(reason, len(seconds), _summary(seconds), float(seconds.sum())))
    return section(lines)


def section(lines: Iterable[Line]) -> Section:
    """Put lines in order, with each one's share."""
    ordered = sorted(lines, key=lambda one: -one.seconds)
    total, so_far, made = sum(one.seconds for one in ordered), 0.0, []
    for one in ordered:
        so_far += one.seconds
        share = (one.seconds / total, so_far / total) if total else (0.0, 0.0)
        made.append(Line(one.name, one.n, one.found, one.seconds, *share, again=one.again))
    return Section(tuple(made))


@dataclass(frozen=True)
class Effect:
    """Two sets of jobs compared by their own steps' times: what tells them apart in words, the shift in seconds, and
    what each set takes."""

    what: str
    before: str
    after: str
    found: Shift
    sides: tuple[Summary, Summary]

    @property
    def widest_s(self) -> float:
        """As far as the bars of both reach."""
        return max(one.p80 for one in self.sides)


def of_revisions(found: Types) -> Effect | None:
    """The newest revision of the procedure against the one before it; None where one has too few jobs."""
    counted = found.counted
    numbers = np.unique(found.revision[counted])
    if len(numbers) < 2:
        return None
    old, new = int(numbers[-2]), int(numbers[-1])
    own_s = found.own_s
    before, after = (own_s[counted & (found.revision == one)] for one in (old, new))
    return _effect("revision", (str(old), str(new)), before, after)


def of_a_day(found: Types, day_ms: int, day: str) -> Effect | None:
    """The jobs before a day against those from it on; None where one side has too few."""
    earlier, own_s = found.finished_ms < day_ms, found.own_s
    return _effect("day", (day, day), own_s[found.counted & earlier], own_s[found.counted & ~earlier])


def _effect(what: str, names: tuple[str, str], before: NDArray[Any], after: NDArray[Any]) -> Effect | None:
    compared, sides = shift(before, after), (summary(before), summary(after))
    if compared is None or sides[0] is None or sides[1] is None:
        return None
    return Effect(what, *names, compared, (sides[0], sides[1]))
