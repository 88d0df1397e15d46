"""Where the marks of a chart lie. Drawing them is the templates' work, in plain SVG.

Places along a chart are per cents of its width, so that one drawing fits a phone, a desk and a sheet of paper with its
text the same size; heights are pixels. Every chart stands with the table of the same figures.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from webapp.core.individuals import FEWEST_FOR_LIMITS, individuals
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
    top = max(min(max(sure), FAR * quantile(sure, 0.9)), reach_s, STEPS_S[0]) if sure else float(STEPS_S[4])
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
"""Of more jobs than this the latest are drawn; the figures are of all."""

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
    """A job in the order of the jobs: `x` in per cent, `y` in pixels; `notice` where it stands out."""

    x: float
    y: float
    value: Value
    notice: bool
    beyond: bool


@dataclass(frozen=True)
class Run:
    """The jobs in the order in which they were finished, with the lines they are held against; heights in pixels."""

    height_px: float
    spots: tuple[Spot, ...]
    ticks: tuple[tuple[float, float], ...]
    median: float | None
    p80: float | None
    limit: float | None


RUN_PX = 220.0
RUN_LEFT = 10.0
"""Per cents at the left that the scale's words take."""


def run(values: Sequence[Value], found: Summary | None) -> Run:
    """Lay out the jobs in order. The upper limit of the individuals chart is drawn from `FEWEST_FOR_LIMITS` jobs on.

    Only what is over it is pointed out: a job much quicker than usual wants no explanation from anybody.
    """
    sure = [number for number, value in enumerate(values) if value.mark != "estimated"]
    limits = individuals([values[number].seconds for number in sure]) if len(sure) >= FEWEST_FOR_LIMITS else None
    high = {sure[one.index] for one in limits.signals if one.rule == "beyond-limit"} if limits else set()
    over = {number for number in high if limits and values[number].seconds > limits.mean}
    axis = axis_for(values)
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
            )
            for number, value in enumerate(values)
        ),
        ticks=tuple((axis.height(tick, RUN_PX), tick) for tick in axis.ticks_s),
        median=axis.height(found.median, RUN_PX) if found else None,
        p80=axis.height(found.p80, RUN_PX) if found else None,
        limit=axis.height(limits.high, RUN_PX) if limits and limits.high <= axis.top_s else None,
    )


KEY = ("job", "again", "estimated", "beyond", "median", "interval", "p80", "limit", "notice")


def key_of(*charts: Strip | Run) -> list[str]:
    """What of the key these charts need, in its order: nothing is explained that is not there."""
    there = {name for chart in charts for name in (_in_strip(chart) if isinstance(chart, Strip) else _in_run(chart))}
    return [name for name in KEY if name in there]


def _in_strip(chart: Strip) -> set[str]:
    drawn = {"median": chart.median, "interval": chart.interval, "p80": chart.p80}
    shapes = {"beyond" if dot.beyond else dot.mark for dot in chart.dots}
    return shapes | {name for name, value in drawn.items() if value is not None}


def _in_run(chart: Run) -> set[str]:
    drawn = {"median": chart.median, "p80": chart.p80, "limit": chart.limit}
    shapes = {"beyond" if spot.beyond else spot.value.mark for spot in chart.spots}
    noticed = {"notice"} if any(spot.notice for spot in chart.spots) else set()
    return shapes | noticed | {name for name, value in drawn.items() if value is not None}
