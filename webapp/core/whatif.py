"""What if: many days of one plan, and what one more bay, technician or stand would change.

Every plan is played on the same days, so that two plans differ by what was changed and not by luck. What is told is a
mean over days with its 95 % confidence interval (Student's t), and the range that 8 of 10 days lie in.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf, sqrt

import numpy as np
from numpy.typing import NDArray

from .errors import BadInput
from .workday import RESOURCES, Capacity, Day, Work, play

Floats = NDArray[np.float64]
LIMITS = {"bays": (1, 20), "technicians": (1, 40), "stands": (1, 20), "arrivals": (1, 60), "hours": (1, 24)}
"""What each input may be: from, to."""
MOST_MIX = 10.0
WAYS = ("random", "booked")
"""Vehicles come whenever they come (a Poisson process), or booked at even distances."""
FEWEST_JOBS = 20
"""With fewer finished jobs to draw from, the answer would only repeat them."""
MOST_DAYS, VEHICLES = 200, 3000
"""So many days are played, fewer where many vehicles come: an answer takes a second or two."""
FEWEST_DAYS = 50
SEED = 20_250_331
PAIR = "bay-and-person"
"""A bay without anybody to work in it, or the other way round, may bring nothing where both together do."""
ADDED = {**{name: (name,) for name in RESOURCES}, PAIR: ("bays", "technicians")}


@dataclass(frozen=True)
class Trial:
    """A plan of a day: who and what there is, vehicles a day, hours, how they come, and how much more often than now
    each calibration is asked for (1 where nothing is said)."""

    capacity: Capacity
    arrivals: float
    hours: float
    way: str
    mix: Mapping[str, float]


@dataclass(frozen=True)
class Past:
    """A finished job to draw from: its calibrations and what it took."""

    calibrations: tuple[str, ...]
    work: Work


@dataclass(frozen=True)
class Mean:
    """A mean over days with its 95 % confidence interval, and between which values 8 of 10 days lie."""

    mean: float
    low: float
    high: float
    day_low: float
    day_high: float


@dataclass(frozen=True)
class More:
    """What one more of a resource (or `PAIR`) would change: jobs finished a day, more or fewer."""

    resource: str
    gain: Mean

    @property
    def shown(self) -> bool:
        return self.gain.low > 0


@dataclass(frozen=True)
class Outcome:
    """What is to be expected of a plan. Waits are of all vehicles of all days, infinite for one that was not begun."""

    days: int
    came: Mean
    finished: Mean
    in_bay: Mean
    not_begun: Mean
    wait_median_s: float
    wait_p80_s: float
    stand_wait_s: Mean
    busy: Mapping[str, Mean]
    more: tuple[More, ...]

    @property
    def bottleneck(self) -> More | None:
        """What one more of would bring the most, the pair only where it brings twice what either does alone.

        None where nothing brings anything for sure.
        """
        shown = [one for one in self.more if one.shown]
        return max(shown, key=lambda one: one.gain.mean / (2 if one.resource == PAIR else 1), default=None)


def what_if(trial: Trial, past: Sequence[Past]) -> Outcome:
    """Play the plan on as many days as tell.

    Raises:
        BadInput: `too-few-jobs` where there are fewer than FEWEST_JOBS finished jobs with these calibrations.
    """
    weights = np.array([_weight(one, trial.mix) for one in past])
    usable = int((weights > 0).sum())
    if usable < FEWEST_JOBS:
        message = f"jobs={usable} with this mix are too few to draw from; it takes {FEWEST_JOBS}, so ask for others too"
        raise BadInput("too-few-jobs", "mix", message)
    days = max(FEWEST_DAYS, min(MOST_DAYS, round(VEHICLES / trial.arrivals)))
    chances = weights / weights.sum()
    coming = [_day(trial, past, chances, number) for number in range(days)]

    def played(capacity: Capacity) -> list[Day]:
        return [play(capacity, comes_s, works, trial.hours * 3600) for comes_s, works in coming]

    found = played(trial.capacity)
    finished = np.array([day.finished for day in found], float)
    more = []
    for name, added in ADDED.items():
        richer = played(replace(trial.capacity, **{one: getattr(trial.capacity, one) + 1 for one in added}))
        more.append(More(name, mean_of(np.array([day.finished for day in richer]) - finished)))
    waits = np.sort(np.concatenate([day.waits_s for day in found]))
    vehicles = [[one.stand_wait_s for one in day.vehicles if one.began_s is not None] for day in found]
    return Outcome(
        days=days,
        came=mean_of([len(day.vehicles) for day in found]),
        finished=mean_of(finished),
        in_bay=mean_of([day.in_bay for day in found]),
        not_begun=mean_of([day.not_begun for day in found]),
        wait_median_s=_rank(waits, 0.5),
        wait_p80_s=_rank(waits, 0.8),
        stand_wait_s=mean_of([float(np.mean(one)) if one else 0.0 for one in vehicles]),
        busy={name: mean_of([day.busy[name] for day in found]) for name in RESOURCES},
        more=tuple(more),
    )


def _day(trial: Trial, past: Sequence[Past], chances: Floats, number: int) -> tuple[Floats, list[Work]]:
    """When the vehicles of that day come and what each takes: the same for every plan with the same mix."""
    dice = np.random.default_rng((SEED, number))
    if trial.way == "booked":
        comes_s = np.arange(round(trial.arrivals)) * trial.hours * 3600 / round(trial.arrivals)
    else:
        comes_s = np.sort(dice.uniform(0, trial.hours * 3600, dice.poisson(trial.arrivals)))
    picked = dice.choice(len(past), len(comes_s), p=chances)
    return comes_s, [past[one].work for one in picked]


def _weight(one: Past, mix: Mapping[str, float]) -> float:
    """How often a job is drawn: the geometric mean of what its calibrations are asked for. 0 for one leaves it out."""
    asked = [mix.get(name, 1.0) for name in one.calibrations]
    return float(np.prod(asked) ** (1 / len(asked))) if asked else 0.0


def _rank(ordered: Floats, p: float) -> float:
    """The value that the fraction p does not exceed."""
    return float(ordered[int(np.ceil(p * len(ordered))) - 1]) if len(ordered) else inf


def mean_of(values: Sequence[float] | Floats) -> Mean:
    """The mean over days, its confidence interval and the days' own range."""
    from scipy.special import stdtrit  # as in `statistics`: not every start of the server needs it

    given = np.asarray(values, float)
    n, mean = len(given), float(given.mean())
    half = float(stdtrit(n - 1, 0.975)) * float(given.std(ddof=1)) / sqrt(n)
    day_low, day_high = np.quantile(given, (0.1, 0.9))
    return Mean(mean, mean - half, mean + half, float(day_low), float(day_high))
