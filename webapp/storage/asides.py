"""What a phone brought that the journal could not take: kept for a person, who brings it in or leaves it out."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session, col, func, select

from webapp.core.errors import BaybookError, Conflict, NotFound
from webapp.storage.phone_tables import Aside, Device

MOST_OPEN = 2000
"""Of one phone, undecided. A phone that brings more has gone wrong, and must not fill the disk."""


@dataclass(frozen=True)
class Apart:
    """A text to keep aside: an event's line with its seq and job, where known, or a batch's body without."""

    text: str
    sha256: str
    seq: int | None = None
    job: str | None = None

    @classmethod
    def body(cls, text: str) -> "Apart":
        return cls(text, hashlib.sha256(text.encode()).hexdigest())


def set_aside(db: Session, device: str, what: Apart, why: BaybookError, now: str, *, holds: bool = False) -> Aside:
    """Keep it, once, however often it comes. `holds`: it stands in its seq's place in the device's journal.

    Raises Conflict (`aside-full`) where a phone has brought too much that nobody has decided about.
    """
    known = db.exec(select(Aside).where(Aside.device == device, Aside.sha256 == what.sha256)).first()
    if known:
        known.holds = known.holds or holds
        db.add(known)
        return known
    if db.exec(select(func.count()).where(Aside.device == device, col(Aside.decision).is_(None))).one() >= MOST_OPEN:
        message = f"device={device} has {MOST_OPEN} events kept aside already; a manager must decide about them first"
        raise Conflict("aside-full", "device", message)
    row = Aside(
        device=device,
        seq=what.seq,
        holds=holds,
        job=what.job,
        line=what.text,
        sha256=what.sha256,
        code=why.code,
        field=why.field,
        message=why.message,
        received_at=now,
    )
    db.add(row)
    db.flush()
    return row


def asides(db: Session, *, decided: bool = False) -> list[tuple[Aside, Device]]:
    """What waits for a decision (or has had one), the oldest first, each with its phone."""
    meant = col(Aside.decision).is_not(None) if decided else col(Aside.decision).is_(None)
    return list(db.exec(select(Aside, Device).join(Device).where(meant).order_by(col(Aside.id))))


def count_of(db: Session) -> dict[str, int]:
    """How much of each phone waits for a decision; of the others nothing does."""
    meant = select(Aside.device, func.count()).where(col(Aside.decision).is_(None)).group_by(col(Aside.device))
    return dict(db.exec(meant).all())


def has_any(db: Session, device: str, job: str) -> bool:
    """Whether anything of that phone's on that job was ever set aside."""
    return db.exec(select(Aside.id).where(Aside.device == device, Aside.job == job)).first() is not None


def waiting_for(db: Session, job: str, device: str, codes: Sequence[str]) -> list[Aside]:
    """A device's undecided events of a job that were kept aside for one of these reasons, in the device's order."""
    meant = select(Aside).where(Aside.job == job, Aside.device == device, col(Aside.code).in_(codes))
    return list(
        db.exec(meant.where(col(Aside.decision).is_(None), col(Aside.seq).is_not(None)).order_by(col(Aside.seq)))
    )


def undecided(db: Session, number: int) -> Aside:
    """One of them, to be decided now. Raises NotFound (`aside-unknown`) or Conflict (`aside-decided`)."""
    found = db.get(Aside, number, with_for_update=True)
    if found is None:
        raise NotFound("aside-unknown", "aside", f"aside={number} is not kept here")
    if found.decision:
        message = f"aside={number} was {found.decision.replace('-', ' ')} at {found.decided_at} already"
        raise Conflict("aside-decided", "aside", message)
    return found


def alike(db: Session, number: int) -> list[int]:
    """This one and the phone's others that wait for the same reason, in the phone's order.

    Raises as `undecided` does.
    """
    one = undecided(db, number)
    meant = select(Aside.id).where(Aside.device == one.device, Aside.code == one.code, col(Aside.decision).is_(None))
    return [found or 0 for found in db.exec(meant.order_by(col(Aside.seq), col(Aside.id)))]


def decide(db: Session, aside: Aside, decision: str, by: str | None, now: str, why: str | None = None) -> None:
    """Write down what was decided; the text itself stays for good. `by` is a badge, None for the server itself."""
    aside.decision, aside.decided_by, aside.decided_at, aside.decided_why = decision, by, now, why
    db.add(aside)


def codes_of(db: Session, device: str, sha256s: list[str]) -> dict[str, Aside]:
    """The asides of a device by their SHA-256, of those asked for."""
    meant = select(Aside).where(Aside.device == device, col(Aside.sha256).in_(sha256s))
    return {one.sha256: one for one in db.exec(meant)}
