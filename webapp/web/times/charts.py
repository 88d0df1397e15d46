"""What each chart is drawn from: figures that are worked out here, in minutes, and words, as JSON in the page.

static/charts/ draws them with D3: scales, ticks, marks, at the width that there is. Every chart stands with the table
of the same figures, which is all there is without a script.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from webapp.core.individuals import FEWEST_FOR_LIMITS, Individuals, individuals
from webapp.core.learning import Curve
from webapp.core.statistics import Summary, quantile
from webapp.core.whatif import Mean
from webapp.messages import say
from webapp.storage.figures import Types
from webapp.storage.times import Named

from . import wording
from .figures import DONE, Bin, Group

FAR = 2.0
"""A scale ends at so many times its 90th percentile at most: one forgotten phone must not flatten all the others."""
SHORTEST_S = 5.0
MOST_MARKS = 150
"""Of more jobs than this the latest are drawn."""
CURVE_POINTS = 24
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
KEY = ("job", "again", "estimated", "beyond", "mean", "limit", "notice")

Mark = Literal["job", "again", "estimated"]
Drawn = dict[str, Any]


@dataclass(frozen=True)
class Value:
    """One job's time, how it is drawn (`again`: the first run failed), and what a reader hears of it."""

    seconds: float
    mark: Mark = "job"
    job: str = ""
    label: str = ""


def values_of(found: Types, seconds: NDArray[Any], named: Mapping[int, Named]) -> list[Value]:
    """The jobs' times as a chart draws them; what was not brought to an end has none."""
    at = np.flatnonzero(found.outcome == DONE)
    return [
        Value(
            seconds=float(seconds[one]),
            mark="estimated" if found.estimated[one] else "again" if found.first[one] == 0 else "job",
            job=named[int(found.seq[one])].job if named else "",
            label=named[int(found.seq[one])].label if named else "",
        )
        for one in at
    ]


def reach_s(values: Sequence[Value], least_s: float = 0.0) -> float:
    """As far as a scale must reach for the jobs' times, at least to `least_s`. Estimated times do not stretch it."""
    sure = [value.seconds for value in values if value.mark != "estimated"] or [value.seconds for value in values]
    return max(min(max(sure), FAR * quantile(sure, 0.9)) if sure else 0.0, least_s, SHORTEST_S)


def _minutes(seconds: float | None) -> float | None:
    return None if seconds is None else round(seconds / 60, 3)


def strip(values: Sequence[Value], top_s: float) -> Drawn:
    """All jobs of one kind on one line, for too few of them for anything else."""
    marks = [{"minutes": _minutes(one.seconds), "mark": one.mark} for one in values[-MOST_MARKS:]]
    return {"top": _minutes(top_s), "marks": marks}


@dataclass(frozen=True)
class Noted:
    """A point that is named: which job, and which rule it completes. `more` jobs right after it complete it too."""

    letter: str
    value: Value
    rule: str
    more: int


@dataclass(frozen=True)
class Run:
    """The jobs in the order in which they were finished, with the lines they are held against."""

    values: tuple[Value, ...]
    drawn: Drawn
    key: tuple[str, ...]
    noted: tuple[Noted, ...]
    figures: Individuals | None


def run(values: Sequence[Value], ends: Sequence[str] = ("", "")) -> Run:
    """Tell the jobs in order. The limits of the individuals chart are there from `FEWEST_FOR_LIMITS` jobs on.

    Only what is over the upper one is noticed: a job much quicker than usual wants no explanation from anybody.
    `ends`: the days of the first and the last job.
    """
    sure = [number for number, value in enumerate(values) if value.mark != "estimated"]
    limits = individuals([values[number].seconds for number in sure]) if len(sure) >= FEWEST_FOR_LIMITS else None
    high = {sure[one.index] for one in limits.signals if one.rule == "beyond-limit"} if limits else set()
    over = {number for number in high if limits and values[number].seconds > limits.mean}
    letters, noted = _noted(values, sure, limits)
    # The upper limit is on the scale, unless times that scatter so much would lie flat for it.
    least_s = (limits.high if limits.high <= FAR * limits.mean else limits.mean) if limits else 0.0
    top_s = reach_s(values, least_s)
    lines = [("mean", limits.mean), ("limit", limits.high), ("low", limits.low)] if limits else []
    drawn = {
        "top": _minutes(top_s),
        "ends": list(ends),
        "lines": [
            {"line": name, "minutes": _minutes(at), "say": wording.minutes(at)} for name, at in lines if 0 < at <= top_s
        ],
        "marks": [_mark(value, number in over, letters.get(number)) for number, value in enumerate(values)],
    }
    return Run(tuple(values), drawn, _key(drawn), noted, limits)


def _mark(value: Value, notice: bool, letter: str | None) -> Drawn:
    """A job that leads to its record."""
    words = say("times-spot", order=value.label, minutes=wording.minutes(value.seconds))
    made: Drawn = {"minutes": _minutes(value.seconds), "mark": value.mark, "say": words}
    more = {"to": value.job and wording.record_address(value.job), "notice": notice, "letter": letter}
    return made | {name: one for name, one in more.items() if one}


def _key(drawn: Drawn) -> tuple[str, ...]:
    """What of the key this chart needs, in its order: nothing is explained that is not there."""
    there = {"beyond" if one["minutes"] > drawn["top"] else one["mark"] for one in drawn["marks"]}
    there |= {"notice" for one in drawn["marks"] if "notice" in one} | {one["line"] for one in drawn["lines"]}
    return tuple(name for name in KEY if name in there)


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


def trend(groups: Sequence[Group], *, small: bool = False) -> Drawn | None:
    """Medians of the jobs one group after another; None where there are too few jobs for two. `small`: no scale."""
    if not groups:
        return None
    sure = [one.found.median_interval for one in groups]
    ends = [(known and known.high) or one.found.median for one, known in zip(groups, sure, strict=True)]
    points = [
        {
            "at": (one.begin_ms + one.end_ms) // 2,
            "minutes": _minutes(one.found.median),
            "low": _minutes(known.low if known else None),
            "high": _minutes(known.high if known else None),
        }
        for one, known in zip(groups, sure, strict=True)
    ]
    return {"top": _minutes(max(ends)), "points": points} | (
        {"small": True} if small else {"say": wording.minutes(groups[-1].found.median)}
    )


def bars(bins: Sequence[Bin], found: Summary | None) -> Drawn | None:
    """A distribution; None where there are too few jobs for one."""
    if not bins or not found:
        return None
    return {
        "bins": [{"low": _minutes(one.low_s), "high": _minutes(one.high_s), "n": one.n} for one in bins],
        "lines": [
            {"line": name, "minutes": _minutes(at), "say": f"{say(f'times-key-{name}')} {wording.minutes(at)}"}
            for name, at in (("median", found.median), ("p80", found.p80))
        ],
    }


def learned(nth: Sequence[int], seconds: Sequence[float], found: Curve | None) -> Drawn | None:
    """Somebody's jobs in order, and the curve through them where they show one; None where there are no jobs."""
    if not seconds:
        return None
    drawn = found if found and found.shown else None
    top_s = max(quantile(seconds, 0.9) * 1.15, drawn.at(nth[0]) if drawn else 0.0)
    along = np.geomspace(min(nth), max(nth), CURVE_POINTS).tolist() if drawn else []
    return {
        "top": _minutes(top_s),
        "marks": [{"nth": n, "minutes": _minutes(s), "mark": "job"} for n, s in zip(nth, seconds, strict=True)],
        "curve": [[round(n, 3), _minutes(drawn.at(n))] for n in along] if drawn else [],
    }


def bar(found: Summary, widest_s: float) -> Drawn:
    """How long a step takes: to its median, and on to its 80th percentile."""
    return {"top": _minutes(widest_s), "median": _minutes(found.median), "p80": _minutes(found.p80)}


def span(mean: Mean, top: float) -> Drawn:
    """A mean of jobs a day: where it lies for sure, and between which numbers 8 of 10 days lie."""
    sure, most = [mean.low, mean.high], [mean.day_low, mean.day_high]
    return {"top": top, "mean": mean.mean, "sure": sure, "most": most}
