"""Who works which calibration alone: what was said, by whom and why, and what the shop's own jobs speak for."""

from dataclasses import dataclass

from sqlalchemy import exists
from sqlmodel import Session, col, func, select

from webapp.core.competence import LEVELS, level_of
from webapp.core.errors import BadInput, NotAllowed, shown
from webapp.storage import people
from webapp.storage.tables import Competence, JobTime, StepTime

LONGEST_WHY = 400


@dataclass(frozen=True)
class Standing:
    """Somebody's calibration: how they work it, and in how many supervised jobs it passed the first time since."""

    calibration: str
    level: str
    passed: int
    proposed: bool


def say_level(db: Session, code: str, calibration: str, level: str, by: str, at: str, why: str) -> Competence:
    """Somebody works a calibration alone, or under supervision, from now on. Call it in a `writing` transaction.

    Raises NotFound (`badge-unknown`), BadInput (`competence-level`, `reason`) or NotAllowed (`competence-self`).
    """
    person = people.person(db, code)
    why = " ".join(why.split())
    if level not in LEVELS:
        raise BadInput("competence-level", "level", f"level={shown(level)} must be one of {', '.join(LEVELS)}")
    if not 1 <= len(why) <= LONGEST_WHY:
        raise BadInput("reason", "reason", f"reason has {len(why)} characters; say in 1 to {LONGEST_WHY} why")
    if code == by:
        what = f"badge={code}: nobody says this of themselves; ask another supervisor or manager"
        raise NotAllowed("competence-self", "level", what)
    person.levels = people.in_order({**people.levels_of(person.levels), calibration: level})
    db.add(person)
    row = Competence(person=code, calibration=calibration, level=level, by=by, at=at, why=why)
    db.add(row)
    db.flush()
    return row


def said_of(db: Session, code: str) -> list[Competence]:
    """All that was ever said of somebody, the newest first."""
    return list(db.exec(select(Competence).where(Competence.person == code).order_by(col(Competence.id).desc())))


def standings(db: Session, code: str, calibrations: list[str], enough: int) -> list[Standing]:
    """How somebody works each of these. Working alone is proposed after `enough` supervised jobs that passed."""
    person = people.as_known(people.person(db, code))
    newest = {one.calibration: one for one in reversed(said_of(db, code))}
    found = []
    for name in calibrations:
        level = level_of(person, name)
        passed = _passed(db, code, name, newest[name].at if name in newest else "")
        found.append(Standing(name, level, passed, level == "supervised" and passed >= enough))
    return found


def _passed(db: Session, code: str, calibration: str, since: str) -> int:
    """In how many finished jobs since then a step of theirs was countersigned and the calibration passed at once."""
    waited = exists().where(
        col(StepTime.job) == col(JobTime.job), col(StepTime.calibration) == calibration, col(StepTime.waited_s) > 0
    )
    chosen = select(func.count()).where(
        JobTime.person == code,
        JobTime.calibration == calibration,
        col(JobTime.first_time_pass).is_(True),
        JobTime.finished_at > since,
        waited,
    )
    return db.exec(chosen).one()
