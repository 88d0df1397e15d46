"""Towards working alone: an apprentice's jobs of each kind, for that person and for supervisors. Nobody is compared."""

from dataclasses import dataclass

import numpy as np
from flask import redirect, render_template
from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core.errors import NotAllowed, NotFound, shown
from webapp.core.learning import Curve, curve
from webapp.core.statistics import Rate, pass_rate
from webapp.storage import people
from webapp.storage.figures import Asked, Figures, Types, figures
from webapp.storage.packed import FIRST_UNKNOWN
from webapp.storage.tables import Person
from webapp.web import db
from webapp.web.rights import may_change
from webapp.web.who import current_person

from . import charts, wording
from .pages import pages

RECENT_RUNS = 10


@dataclass(frozen=True)
class Learned:
    """Somebody's jobs of one calibration: `nth` and `seconds` of those that count, and what the curve says of them."""

    calibration: str
    n: int
    countersigned: int
    rate: Rate
    recent: Rate
    nth: tuple[int, ...]
    seconds: tuple[float, ...]
    curve: Curve | None


def may_read(code: str | None = None) -> bool:
    """Whether this badge may see that person's progress; without a code, whether anybody's at all."""
    asking = current_person()
    if asking is None:
        return False
    return asking.role == "supervisor" or (asking.role == "apprentice" if code is None else asking.code == code)


@pages.get("/learning")
def learning() -> str | Response:
    asking = current_person()
    if asking is None or asking.role != "supervisor":
        _need(asking.code if asking and asking.role == "apprentice" else None)
        return redirect(f"/times/learning/{asking.code}" if asking else "/badge", 303)
    with db.session() as held:
        known = figures(held)
        who = [one for one in people.everyone(held) if one.active and one.role == "apprentice"]
        counts = {one.code: _jobs(known, one.code) for one in who}
    return render_template("times/learning.html", people=who, counts=counts)


@pages.get("/learning/<code>")
def learning_of(code: str) -> str:
    _need(code)
    with db.session() as held:
        person = _person(held, code)
        known = figures(held)
        asked = Asked(person=code)
        found = known.types(asked)
        names = sorted(found, key=wording.calibration_name)
        learned = [_learned(known, asked, name, found[name]) for name in names]
    drawn = {one.calibration: charts.learned(one.nth, one.seconds, one.curve) for one in learned}
    about = {"learned": learned, "drawn": drawn, "recent": RECENT_RUNS, "may_say": may_change()}
    return render_template("times/learner.html", person=person, **about)


def _need(code: str | None) -> None:
    if code is None or not may_read(code):
        what = "This is for the person it is about and for supervisors: scan that badge on this phone first"
        raise NotAllowed("learning-not-shown", "", what)


def _person(held: Session, code: str) -> Person:
    found = people.by_badge(held, code)
    if found is None:
        raise NotFound(
            "person-unknown", "code", f"code={shown(code)} is nobody's badge here; look at the people's page"
        )
    return found


def _jobs(known: Figures, code: str) -> int:
    return len({int(seq) for one in known.types(Asked(person=code)).values() for seq in one.seq})


def _learned(known: Figures, asked: Asked, name: str, found: Types) -> Learned:
    at = np.flatnonzero(found.counted & (found.own_s > 0))
    nth, seconds = at + 1, found.own_s[at]
    tried = found.first[found.first != FIRST_UNKNOWN]
    return Learned(
        calibration=name,
        n=len(found),
        countersigned=known.countersigned(asked, name),
        rate=pass_rate(int((tried == 1).sum()), len(tried)),
        recent=pass_rate(int((tried[-RECENT_RUNS:] == 1).sum()), len(tried[-RECENT_RUNS:])),
        nth=tuple(nth.tolist()),
        seconds=tuple(seconds.tolist()),
        curve=curve(nth, seconds),
    )
