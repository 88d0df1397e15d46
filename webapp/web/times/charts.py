"""Where the marks of a chart lie. Drawing them is the templates' work, in plain SVG.

Places along a chart are per cents of its width, so that one drawing fits a phone, a desk and a sheet of paper with its
text the same size; heights are pixels. Every chart stands with the table of the same figures.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from webapp.core.individuals import FEWEST_FOR_LIMITS, Individuals, individuals
from webapp.core.statistics import Summary, quantile

STEPS_S = (5, 10, 15, 30, 60, 120, 300, 600, 900, 1200, 1800, 3600, 7200, 14400, 28800, 86400)
"""Distances between ticks that a person counts in."""

MOST_TICKS = 6
FAR = 2.0
"""An axis ends at so many times its 90th percentile at most: one forgotten phone must not flatten all the others."""

LEFT, RIGHT = 2.0, 97.0
"""Per cents of a strip's width that the first and the last mark keep to, so that neither is cut in half."""

Mark = Literal["job", "again", "estimated"]


@dataclass(frozen=True)
class Value:
    """One job's time, how it is drawn (`again`: the first run failed), and what a reader hears of it."""

    seconds: float
    mark: Mark = "job"
    job: str = ""
    label: str = ""


@dataclass(frozen=True)
class Axis:
    """From nothing to `top_s`; `ticks_s` are at round times."""

    top_s: float
    ticks_s: tuple[float, ...]

    def at(self, seconds: float) -> float:
        """The place of a time in per cent of the width; what lies beyond the axis is put at its end."""
        return round(LEFT + (RIGHT - LEFT) * min(seconds / self.top_s, 1.0), 2)

    def height(self, seconds: float, height_px: float) -> float:
        """The place of a time in a chart that stands upright, in pixels from its top."""
        return round(height_px * (1 - min(seconds / self.top_s, 1.0)), 1)


def axis_for(values: Sequence[Value], reach_s: float = 0.0) -> Axis:
    """Return an axis for the jobs' times, in round steps, at least to `reach_s`. Estimated times do not stretch it."""
    sure = [value.seconds for value in values if value.mark != "estimated"] or [value.seconds for value in values]
    top = (
        max(min(max(sure), FAR * quantile(sure, 0.9)), reach_s, STEPS_S[0]) if sure else (reach_s or float(STEPS_S[4]))
    )
    step = next((one for one in STEPS_S if top / one <= MOST_TICKS), STEPS_S[-1])
    count = int(-(-top // step))
    return Axis(float(count * step), tuple(float(step * number) for number in range(count + 1)))


@dataclass(frozen=True)
class Dot:
    """A job on a strip: `x` in per cent, `lift` in pixels from the middle; `beyond` the axis it is an arrow."""

    x: float
    lift: float
    mark: Mark
    beyond: bool


@dataclass(frozen=True)
class Strip:
    """All jobs of one kind on one line, with the median, its interval and the 80th percentile where there are any."""

    dots: tuple[Dot, ...]
    ticks: tuple[tuple[float, float], ...]
    median: float | None
    interval: tuple[float, float] | None
    p80: float | None


WIDE = 1.8
"""Dots closer than so many per cent would cover each other: they are lifted above and below the line in turn."""

MOST_DOTS = 150
"""Of more jobs than this the latest are drawn."""

LIFTS = (0.0, -7.0, 7.0, -14.0, 14.0)


def strip(values: Sequence[Value], axis: Axis, found: Summary | None) -> Strip:
    """Lay out one strip; without a summary there are the dots alone."""
    ends = (found.median_interval.low, found.median_interval.high) if found else (None, None)
    low, high = ends
    return Strip(
        dots=_swarm(values[-MOST_DOTS:], axis),
        ticks=tuple((axis.at(tick), tick) for tick in axis.ticks_s),
        median=axis.at(found.median) if found else None,
        interval=(axis.at(low), axis.at(high)) if low is not None and high is not None else None,
        p80=axis.at(found.p80) if found else None,
    )


def _swarm(values: Sequence[Value], axis: Axis) -> tuple[Dot, ...]:
    last_at = dict.fromkeys(LIFTS, -WIDE)
    dots = []
    for value in sorted(values, key=lambda one: one.seconds):
        x = axis.at(value.seconds)
        lift = next((one for one in LIFTS if x - last_at[one] >= WIDE), min(LIFTS, key=lambda one: last_at[one]))
        last_at[lift] = x
        dots.append(Dot(x, lift, value.mark, value.seconds > axis.top_s))
    return tuple(dots)


@dataclass(frozen=True)
class Spot:
    """A job in the order of the jobs: `x` in per cent, `y` in pixels.

    `notice` where it is far above the usual; `letter` where it, or a run that begins with it, completes a rule.
    """

    x: float
    y: float
    value: Value
    notice: bool
    beyond: bool
    letter: str = ""


@dataclass(frozen=True)
class Noted:
    """A point that is named: which job, and which rule it completes. `more` jobs right after it complete it too."""

    letter: str
    value: Value
    rule: str
    more: int


@dataclass(frozen=True)
class Run:
    """The jobs in the order in which they were finished, with the lines they are held against; heights in pixels."""

    height_px: float
    spots: tuple[Spot, ...]
    ticks: tuple[tuple[float, float], ...]
    mean: float | None
    limit: float | None
    low: float | None
    noted: tuple[Noted, ...]
    figures: Individuals | None


RUN_PX = 220.0
RUN_LEFT = 10.0
"""Per cents at the left that the scale's words take."""
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def run(values: Sequence[Value]) -> Run:
    """Lay out the jobs in order. The limits of the individuals chart are drawn from `FEWEST_FOR_LIMITS` jobs on.

    Only what is over the upper one is ringed: a job much quicker than usual wants no explanation from anybody.
    """
    sure = [number for number, value in enumerate(values) if value.mark != "estimated"]
    limits = individuals([values[number].seconds for number in sure]) if len(sure) >= FEWEST_FOR_LIMITS else None
    high = {sure[one.index] for one in limits.signals if one.rule == "beyond-limit"} if limits else set()
    over = {number for number in high if limits and values[number].seconds > limits.mean}
    letters, noted = _noted(values, sure, limits)
    axis = axis_for(values, limits.mean if limits else 0.0)
    step = (RIGHT - RUN_LEFT) / max(len(values) - 1, 1)
    return Run(
        height_px=RUN_PX,
        spots=tuple(
            Spot(
                x=round(RUN_LEFT + step * number, 2),
                y=axis.height(value.seconds, RUN_PX),
                value=value,
                notice=number in over,
                beyond=value.seconds > axis.top_s,
                letter=letters.get(number, ""),
            )
            for number, value in enumerate(values)
        ),
        ticks=tuple((axis.height(tick, RUN_PX), tick) for tick in axis.ticks_s),
        mean=axis.height(limits.mean, RUN_PX) if limits else None,
        limit=axis.height(limits.high, RUN_PX) if limits and limits.high <= axis.top_s else None,
        low=axis.height(limits.low, RUN_PX) if limits and limits.low > 0 else None,
        noted=noted,
        figures=limits,
    )


def _noted(
    values: Sequence[Value], sure: Sequence[int], limits: Individuals | None
) -> tuple[dict[int, str], tuple[Noted, ...]]:
    """Name the points that complete a rule. Of those right after each other on one rule, the first."""
    found: list[tuple[int, str, int]] = []
    for one in limits.signals if limits else ():
        if found and found[-1][1] == one.rule and found[-1][0] + found[-1][2] + 1 == one.index:
            found[-1] = (found[-1][0], one.rule, found[-1][2] + 1)
        else:
            found.append((one.index, one.rule, 0))
    named = list(zip(LETTERS, found[-len(LETTERS) :], strict=False))
    letters = {sure[index]: letter for letter, (index, _, _) in named}
    return letters, tuple(Noted(letter, values[sure[index]], rule, more) for letter, (index, rule, more) in named)


@dataclass(frozen=True)
class Point:
    """A group of jobs in a trend: its place in per cent and pixels, and where its interval's ends lie, in pixels."""

    x: float
    y: float
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Trend:
    """Medians of the jobs one group after another, from nothing at the foot; `height_px` high."""

    height_px: float
    points: tuple[Point, ...]
    ticks: tuple[tuple[float, float], ...]

    @property
    def line(self) -> str:
        """The points as a polyline in a box 100 wide."""
        return " ".join(f"{one.x},{one.y}" for one in self.points)


def trend(groups: Sequence[Any], height_px: float, left: float = LEFT) -> Trend | None:
    """Lay out the groups (`figures.Group`) in time; None where there are too few jobs for two."""
    if not groups:
        return None
    sure = [one.found.median_interval for one in groups]
    ends = [(known and known.high) or one.found.median for one, known in zip(groups, sure, strict=True)]
    axis = axis_for([], max(ends))
    places = [(one.begin_ms + one.end_ms) / 2 for one in groups]
    wide = (places[-1] - places[0]) or 1.0

    def height(seconds: float | None) -> float | None:
        return None if seconds is None else axis.height(seconds, height_px)

    return Trend(
        height_px,
        tuple(
            Point(
                x=round(left + (RIGHT - left) * (place - places[0]) / wide, 2),
                y=axis.height(one.found.median, height_px),
                low=height(known and known.low),
                high=height(known and known.high),
            )
            for place, one, known in zip(places, groups, sure, strict=True)
        ),
        tuple((axis.height(tick, height_px), tick) for tick in axis.ticks_s),
    )


@dataclass(frozen=True)
class Bar:
    """A bar of a distribution: its place and width in per cent, its top in pixels, whether it is the open one."""

    x: float
    width: float
    y: float
    last: bool


@dataclass(frozen=True)
class Bars:
    height_px: float
    bars: tuple[Bar, ...]
    ticks: tuple[tuple[float, float], ...]
    median: float
    p80: float


BARS_PX = 150.0


def bars(bins: Sequence[Any], found: Summary) -> Bars | None:
    """Lay out a distribution (`figures.Bin`); None where there are too few jobs for one."""
    if not bins:
        return None
    begin, width = bins[0].low_s, bins[0].high_s - bins[0].low_s if bins[0].high_s else 60.0
    each = (RIGHT - LEFT) / len(bins)
    most = max(one.n for one in bins)
    every = max(1, -(-len(bins) // MOST_TICKS))

    def at(seconds: float) -> float:
        return float(round(min(LEFT + (seconds - begin) / width * each, RIGHT), 2))

    return Bars(
        BARS_PX,
        tuple(
            Bar(
                x=round(LEFT + each * number, 2),
                width=round(each * 0.94, 2),
                y=round(BARS_PX * (1 - one.n / most), 1),
                last=one.high_s is None,
            )
            for number, one in enumerate(bins)
        ),
        tuple((at(one.low_s), one.low_s) for one in bins[::every]),
        at(found.median),
        at(found.p80),
    )


KEY = ("job", "again", "estimated", "beyond", "mean", "limit", "notice")


def key_of(chart: Run) -> list[str]:
    """What of the key this chart needs, in its order: nothing is explained that is not there."""
    there = {"beyond" if spot.beyond else spot.value.mark for spot in chart.spots}
    there |= {"notice"} if any(spot.notice for spot in chart.spots) else set()
    there |= {name for name, value in (("mean", chart.mean), ("limit", chart.limit)) if value is not None}
    return [name for name in KEY if name in there]
