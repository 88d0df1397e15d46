"""One week of the shop on one sheet of paper: what was done, what differs from the weeks before, what to ask about."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

import numpy as np
from flask import render_template, request
from sqlmodel import Session

from webapp.core.errors import BadInput, shown
from webapp.core.individuals import FEWEST_FOR_LIMITS, individuals
from webapp.core.shift import Shift, shift
from webapp.core.statistics import Rate, Summary, pass_rate, summary
from webapp.messages import say
from webapp.storage import times
from webapp.storage.figures import Asked, Figures, Types, figures
from webapp.storage.packed import FIRST_UNKNOWN, REASONS
from webapp.storage.times import Named
from webapp.web import db, moment

from . import wording
from .asked import begins
from .figures import FINISHING
from .pages import pages

BEFORE_WEEKS = 12
"""A week is held against so many before it."""
MOST_ASKED, MOST_CAUSES = 6, 6
"""What one sheet has room for; the page says how many there are beside."""


@dataclass(frozen=True)
class Row:
    """One calibration in this week, and in the weeks before; None where there are too few jobs."""

    calibration: str
    n: int
    left_out: int
    now: Summary | None
    before: Summary | None
    moved: Shift | None
    rate: Rate


@dataclass(frozen=True)
class Odd:
    """A job that took longer than such jobs usually take at most."""

    calibration: str
    named: Named
    seconds: float
    most_s: float


@dataclass(frozen=True)
class Week:
    """What the sheet says. Times in seconds; `pauses` by reason: in how many jobs, and how long altogether."""

    begins: date
    jobs: int
    jobs_before: int
    rate: Rate
    left_out: int
    rows: tuple[Row, ...]
    odd: tuple[Odd, ...]
    causes: tuple[tuple[str, int], ...]
    pauses: tuple[tuple[str, int, float], ...]
    waited: tuple[int, float]

    @property
    def ends(self) -> date:
        return self.begins + timedelta(days=6)


@pages.get("/week")
def week() -> str:
    with db.session() as held:
        known = figures(held)
        monday = _monday(request.args, known)
        made = _week(held, known, monday)
    return render_template("times/week.html", week=made, before=BEFORE_WEEKS, name=name_of(monday))


def name_of(monday: date) -> str:
    """A week as the address has it: 2026-W10."""
    year, number, _ = monday.isocalendar()
    return f"{year}-W{number:02}"


def beside(monday: date, weeks: int) -> str:
    """The name of the week so many later."""
    return name_of(monday + timedelta(weeks=weeks))


def _monday(given: Mapping[str, str], known: Figures) -> date:
    """The Monday of the week asked for; else of the week in which the last job was finished. Raises BadInput."""
    text = given.get("week", "").strip()
    if text:
        try:
            if len(text) != 8:
                raise ValueError(text)
            return date.fromisoformat(f"{text}-1")
        except ValueError as error:
            raise BadInput(
                "week-unreadable", "week", f"week={shown(text)} is no week; write it like 2026-W10"
            ) from error
    last = known.recent(1)
    day = wording.date_of(last[-1].finished_ms) if last else date.fromisoformat(moment.today())
    return day - timedelta(days=day.weekday())


def _week(held: Session, known: Figures, monday: date) -> Week:
    sunday = monday + timedelta(days=7)
    this = Asked(since=begins(monday), until=begins(sunday))
    earlier = Asked(since=begins(monday - timedelta(weeks=BEFORE_WEEKS)), until=begins(monday))
    last_week = known.types(Asked(since=begins(monday - timedelta(weeks=1)), until=begins(monday)))
    found, before = known.types(this), known.types(earlier)
    rows = [_row(name, found[name], before.get(name, known.none())) for name in found]
    causes: Counter[str] = Counter()
    for name in found:
        causes.update(known.causes(this, name))
    odd = _odd(held, found, before)
    tried = [one.first[one.first != FIRST_UNKNOWN] for one in found.values()]
    return Week(
        begins=monday,
        jobs=len(_each_job(found)),
        jobs_before=len(_each_job(last_week)),
        rate=pass_rate(int(sum((one == 1).sum() for one in tried)), int(sum(len(one) for one in tried))),
        left_out=sum(one.left_out for one in rows),
        rows=tuple(sorted(rows, key=lambda one: wording.calibration_name(one.calibration))),
        odd=tuple(sorted(odd, key=lambda one: one.most_s - one.seconds)),
        causes=tuple(causes.most_common()),
        pauses=_pauses(_each_job(found).values()),
        waited=_waited(known, this, found),
    )


def _row(name: str, found: Types, before: Types) -> Row:
    now_s, then_s = (one.whole_s[one.counted] for one in (found, before))
    tried = found.first[found.first != FIRST_UNKNOWN]
    return Row(
        calibration=name,
        n=len(found),
        left_out=int((~found.counted).sum()),
        now=summary(now_s),
        before=summary(then_s),
        moved=shift(then_s, now_s),
        rate=pass_rate(int((tried == 1).sum()), len(tried)),
    )


def _each_job(found: Mapping[str, Types]) -> dict[int, Any]:
    """Each job once, with its pauses in ms by reason."""
    return {int(seq): pauses for one in found.values() for seq, pauses in zip(one.seq, one.pauses_ms, strict=True)}


def _odd(held: Session, found: Mapping[str, Types], before: Mapping[str, Types]) -> list[Odd]:
    """Jobs above the upper limit of the individuals chart that the weeks before give."""
    odd = []
    for name, one in found.items():
        then = before.get(name)
        then_s = then.own_s[then.counted] if then is not None else np.zeros(0)
        limits = individuals(then_s.tolist()) if len(then_s) >= FEWEST_FOR_LIMITS else None
        if limits is None:
            continue
        at = np.flatnonzero(one.counted & (one.own_s > limits.high))
        named = times.named(held, one.seq[at])
        odd += [Odd(name, named[int(one.seq[each])], float(one.own_s[each]), limits.high) for each in at]
    return odd


def _pauses(jobs: Iterable[Any]) -> tuple[tuple[str, int, float], ...]:
    made = [(reason, [int(one[at]) for one in jobs if one[at]]) for at, reason in enumerate(REASONS) if at != FINISHING]
    return tuple(sorted(((reason, len(ms), sum(ms) / 1000) for reason, ms in made if ms), key=lambda one: -one[2]))


def _waited(known: Figures, this: Asked, found: Iterable[str]) -> tuple[int, float]:
    """How often a step was held for a countersign, and how long altogether."""
    extras = {one.step: one for name in found for one in known.beside(this, name)}
    return sum(len(one.waited_s) for one in extras.values()), sum(float(one.waited_s.sum()) for one in extras.values())


def moved_words(row: Row) -> str:
    """How this week's times differ from those of the weeks before."""
    if row.moved is None:
        return say("times-week-too-few")
    if not row.moved.shown:
        return say("times-week-no-difference")
    low = "–" if row.moved.low is None else wording.signed(row.moved.low)
    high = "–" if row.moved.high is None else wording.signed(row.moved.high)
    return say("times-week-moved", by=wording.signed(row.moved.shift), low=low, high=high)
