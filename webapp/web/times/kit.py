"""Kit and bays: which labels are scanned wrongly, how long targets take, what bays differ in."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import exp

import numpy as np
from flask import render_template, request
from sqlmodel import Session

from webapp.core.handling import LabelScans, handling
from webapp.core.shift import shift
from webapp.core.statistics import Rate, pass_rate, summary
from webapp.messages import say
from webapp.storage.figures import Asked, Figures, Types, figures
from webapp.storage.kit import items
from webapp.storage.packed import FIRST_UNKNOWN, REASONS, unix_ms
from webapp.storage.scans import told_between
from webapp.storage.tables import Item
from webapp.web import db, moment

from . import wording
from .asked import asked, begins, query
from .figures import Line, section
from .pages import pages

RECENT_DAYS = 28
"""Labels and targets are told of the last so many days, unless others are asked for."""
MOST_LABELS = 12
EQUIPMENT = REASONS.index("equipment")


@dataclass(frozen=True)
class Label:
    """A label that was scanned wrongly: what it is on, how often of how many scans, and mostly how."""

    code: str
    name: str
    wrong: int
    n: int
    mostly: str


@dataclass(frozen=True)
class Bay:
    """A bay's jobs. `longer` says by which part its times lie above those of the same calibrations elsewhere, with its
    interval; None where there are too few jobs."""

    code: str
    name: str
    n: int
    rate: Rate
    waiting: int
    longer: tuple[float, float | None, float | None] | None

    @property
    def shown(self) -> bool:
        """Whether a difference is shown."""
        if self.longer is None:
            return False
        _, low, high = self.longer
        return (low is not None and low > 0) or (high is not None and high < 0)


@pages.get("/kit")
def kit() -> str:
    which = asked(request.args)
    with db.session() as held:
        known = figures(held)
        recent = which if which.since or which.until else _recent(known)
        things = items(held)
        homes = {item.code: item.home for item in things}
        found = handling(told_between(held, recent.since, recent.until), homes)
        labels = sorted(
            (_label(held, code, scans) for code, scans in found.labels.items() if scans.wrongs),
            key=lambda one: (-one.wrong, one.name),
        )
        names = {item.code: item.name for item in things}
        carried = section(_line(names.get(code, code), seconds) for code, seconds in found.carried_s.items())
        waits = section(_line(step, seconds) for step, seconds in found.waits_s.items())
        bays = _bays(held, known, which)
    scans = sum(one.n for one in found.labels.values())
    return render_template(
        "times/kit.html",
        labels=labels[:MOST_LABELS],
        more=max(len(labels) - MOST_LABELS, 0),
        wrong=sum(one.wrong for one in labels),
        scans=scans,
        carried=carried,
        waits=waits,
        waiting=len(found.waiting_jobs),
        bays=bays,
        since=wording.day(recent.since) if recent.since else None,
        until=wording.day_of(unix_ms(recent.until) - 1) if recent.until else None,
        query=query(request.args),
    )


def _recent(known: Figures) -> Asked:
    """The last days in which something was finished."""
    last = known.recent(1)
    day = wording.date_of(last[-1].finished_ms) if last else date.fromisoformat(moment.today())
    return Asked(since=begins(day - timedelta(days=RECENT_DAYS - 1)), until=begins(day + timedelta(days=1)))


def _label(held: Session, code: str, scans: LabelScans) -> Label:
    item = held.get(Item, code) if code else None
    name = item.name if item else code or say("times-kit-stranger")
    return Label(code, name, scans.wrongs, scans.n, scans.wrong.most_common(1)[0][0])


def _line(name: str, seconds: list[float]) -> Line:
    return Line(name, len(seconds), summary(seconds), sum(seconds))


def _bays(held: Session, known: Figures, which: Asked) -> list[Bay]:
    """Each bay against all others by the same calibrations: a bay that gets the long ones is not slow for that."""
    everything = known.types(Asked(which.since, which.until))
    medians = {
        name: float(np.median(one.whole_s[one.counted])) for name, one in everything.items() if one.counted.any()
    }
    codes = known.choices()["bay"]
    of_bay = {code: known.types(Asked(which.since, which.until, bay=code)) for code in codes}
    ratios = {code: _ratios(found, medians) for code, found in of_bay.items()}
    made = []
    for code, found in of_bay.items():
        if not found:
            continue
        others = [ratios[other] for other in codes if other != code]
        moved = shift(np.concatenate(others), ratios[code]) if others else None
        tried = [one.first[one.first != FIRST_UNKNOWN] for one in found.values()]
        jobs = {int(seq): pauses for one in found.values() for seq, pauses in zip(one.seq, one.pauses_ms, strict=True)}
        longer = None if moved is None else (_part(moved.shift), _end(moved.low), _end(moved.high))
        made.append(
            Bay(
                code=code,
                name=wording.bay_name(held, code),
                n=len(jobs),
                rate=pass_rate(int(sum((one == 1).sum() for one in tried)), int(sum(len(one) for one in tried))),
                waiting=sum(pauses[EQUIPMENT] > 0 for pauses in jobs.values()),
                longer=longer,
            )
        )
    return sorted(made, key=lambda one: one.name)


def _ratios(found: Mapping[str, Types], medians: Mapping[str, float]) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """The logarithm of each time over the median of its calibration."""
    logs = [np.log(one.whole_s[one.counted] / medians[name]) for name, one in found.items() if name in medians]
    return np.concatenate(logs) if logs else np.zeros(0)


def _part(log_ratio: float) -> float:
    return exp(log_ratio) - 1


def _end(log_ratio: float | None) -> float | None:
    return None if log_ratio is None else _part(log_ratio)


def longer_words(bay: Bay) -> str:
    """By how many per cent longer or shorter than elsewhere, or that no difference is shown."""
    if bay.longer is None:
        return say("times-week-too-few")
    if not bay.shown:
        return say("times-week-no-difference")
    by, low, high = (None if one is None else f"{100 * one:+.0f}".replace("-", "−") for one in bay.longer)
    return say("times-kit-longer", by=by or "–", low=low or "–", high=high or "–")
