"""Who began to work with which phone, and whether the PIN was right. A phone that was away tells it later."""

from collections.abc import Sequence

from sqlmodel import Session, col, select

from webapp.core.check import Difference
from webapp.storage import differences
from webapp.storage.journal import as_event
from webapp.storage.phone_tables import Difference as DifferenceRow
from webapp.storage.phone_tables import SignIn
from webapp.storage.tables import EventRow

WHAT = "sign-in"


def sign_in(db: Session, name: str) -> SignIn | None:
    return db.get(SignIn, name)


def keep(db: Session, one: SignIn) -> None:
    """Add it, unless it is there already."""
    if db.get(SignIn, one.id) is None:
        db.add(one)
        db.flush()


def vouched(db: Session, device: str, person: str, seq: int) -> bool:
    """Whether the device's event of that seq was made by somebody who had begun as that person with the right PIN."""
    last = db.exec(
        select(SignIn)
        .where(SignIn.device == device, SignIn.seq <= seq)
        .order_by(col(SignIn.seq).desc(), col(SignIn.id).desc())
    ).first()
    return last is not None and last.person == person and last.right


def mark_wrong(db: Session, device: str, now: str) -> None:
    """Beside the first event on each job that was made after a wrong PIN, say so; once."""
    every = db.exec(select(SignIn).where(SignIn.device == device).order_by(col(SignIn.seq), col(SignIn.id))).all()
    if all(one.right for one in every):
        return
    ends = [*(one.seq for one in every[1:]), None]
    for one, end in zip(every, ends, strict=True):
        if not one.right:
            _mark(db, one, end, now)


def _mark(db: Session, wrong: SignIn, end: int | None, now: str) -> None:
    under = select(EventRow).where(
        EventRow.device == wrong.device, EventRow.seq >= wrong.seq, EventRow.person == wrong.person
    )
    rows: Sequence[EventRow] = db.exec(under.order_by(col(EventRow.seq))).all()
    firsts: dict[str, EventRow] = {}
    for row in rows:
        if end is None or row.seq < end:
            firsts.setdefault(row.job, row)
    told = set(
        db.exec(
            select(DifferenceRow.event).where(
                DifferenceRow.what == WHAT, col(DifferenceRow.event).in_([row.id for row in firsts.values()])
            )
        ).all()
    )
    found = [
        (as_event(row.model_dump()), Difference(WHAT, wrong.person, wrong.why))
        for row in firsts.values()
        if row.id not in told
    ]
    differences.keep(db, found, now)
