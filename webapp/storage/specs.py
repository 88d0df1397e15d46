"""The shop's own vehicles: every revision as it was saved, who approved which, and the library with those in use.

A vehicle here is the plain document that a file in procedures/vehicles/ holds: {"vehicle": name, "revision": n, ...}.
"""

import hashlib
import json
from dataclasses import dataclass
from typing import Any, cast

from sqlalchemy import func
from sqlmodel import Session, col, select

from webapp.core.errors import BaybookError, Conflict, NotAllowed, NotFound, Stale, shown
from webapp.core.procedure import Approval, Library, Vehicle
from webapp.core.shelf import can_be_worked
from webapp.messages import english
from webapp.storage.direct import Direct
from webapp.storage.spec_tables import SpecDecision, SpecRevision
from webapp.storage.tables import Person

Document = dict[str, Any]


@dataclass(frozen=True)
class Kept:
    """A revision with its document."""

    row: SpecRevision
    document: Document


def save(db: Session, document: Document, after: int | None, by: str, at: str) -> SpecRevision:
    """Add a revision; its number is the document's own. `after` is the newest one that it was made from, if any.

    Raises:
        Stale: `spec-changed`, where somebody saved another one in between.
    """
    name, number = document["vehicle"], document["revision"]
    last = newest(db, name)
    there = last.row.revision if last else None
    if there != after or (there is not None and number <= there):
        what = f"revision={there}: somebody saved this one in between; look at it, and make your change again"
        raise Stale("spec-changed", "revision", what)
    body = json.dumps(document, ensure_ascii=False, separators=(",", ":"))  # in the order in which it is read
    row = SpecRevision(vehicle=name, revision=number, body=body, hash=_hash(body), made_at=at, made_by=by)
    db.add(row)
    db.flush()
    return row


def newest(db: Session, vehicle: str) -> Kept | None:
    """The last revision that was saved of a vehicle, or None where the shop has none of its own."""
    chosen = select(SpecRevision).where(SpecRevision.vehicle == vehicle).order_by(col(SpecRevision.revision).desc())
    row = db.exec(chosen.limit(1)).first()
    return _kept(row) if row else None


def revision_of(db: Session, vehicle: str, number: int) -> Kept:
    """One revision. Raises NotFound (`spec-unknown`) or Conflict (`spec-damaged`)."""
    if (row := db.get(SpecRevision, (vehicle, number))) is None:
        what = f"revision={number}: there is no such one of {shown(vehicle)}; look at the list of its revisions"
        raise NotFound("spec-unknown", "revision", what)
    return _kept(row)


def revisions(db: Session, vehicle: str) -> list[SpecRevision]:
    """All revisions of a vehicle, the newest first."""
    chosen = select(SpecRevision).where(SpecRevision.vehicle == vehicle)
    return list(db.exec(chosen.order_by(col(SpecRevision.revision).desc())))


def all_newest(db: Session) -> list[Kept]:
    """The last revision of each of the shop's own vehicles, by name."""
    last = select(SpecRevision.vehicle, func.max(SpecRevision.revision)).group_by(SpecRevision.vehicle)
    found = [revision_of(db, name, number) for name, number in db.exec(last)]
    return sorted(found, key=lambda one: one.row.vehicle)


def decisions(db: Session, vehicle: str) -> list[SpecDecision]:
    """What was decided on a vehicle, the newest first."""
    chosen = select(SpecDecision).where(SpecDecision.vehicle == vehicle)
    return list(db.exec(chosen.order_by(col(SpecDecision.id).desc())))


def approve(db: Session, vehicle: str, number: int, by: str, at: str) -> SpecDecision:
    """Let a revision be worked with, which must be the newest. Whether its figures can be is for the caller to check.

    Raises:
        Stale: `spec-changed`, where there is a newer one.
        NotAllowed: `approver-self`, for whoever saved it.
        Conflict: `spec-approved`, where it is in use already.
    """
    kept, last = revision_of(db, vehicle, number), newest(db, vehicle)
    if last and last.row.revision != number:
        what = f"revision={last.row.revision}: somebody saved this one in between; look at it before you approve it"
        raise Stale("spec-changed", "revision", what)
    if kept.row.made_by == by:
        what = f"badge={by}: nobody approves figures they saved themselves; ask another supervisor or manager"
        raise NotAllowed("approver-self", "badge", what)
    if (before := in_use(db, vehicle)) and before.revision == number:
        raise Conflict("spec-approved", "revision", f"revision={number} is approved already; nothing was changed")
    return _decide(db, vehicle, number, "approved", by, at)


def withdraw(db: Session, vehicle: str, by: str, at: str, why: str) -> SpecDecision:
    """Let a vehicle's own figures be worked with no longer; jobs that run keep theirs.

    Raises:
        Conflict: `spec-not-in-use`.
    """
    if (found := in_use(db, vehicle)) is None:
        what = f"vehicle={shown(vehicle)} has no approved figures of the shop's own; nothing was changed"
        raise Conflict("spec-not-in-use", "vehicle", what)
    return _decide(db, vehicle, found.revision, "withdrawn", by, at, why)


def in_use(db: Session, vehicle: str) -> SpecDecision | None:
    """The approval by which a vehicle's own figures are worked with now; None where they are not."""
    last = next(iter(decisions(db, vehicle)), None)
    return last if last and last.decision == "approved" else None


def _decide(db: Session, vehicle: str, number: int, decision: str, by: str, at: str, why: str = "") -> SpecDecision:
    made = SpecDecision(vehicle=vehicle, revision=number, decision=decision, decided_at=at, decided_by=by, why=why)
    db.add(made)
    db.flush()
    return made


def _kept(row: SpecRevision) -> Kept:
    if _hash(row.body) != row.hash:
        what = f"revision={row.revision} of '{row.vehicle}' was changed after it was saved; restore it from a backup"
        raise Conflict("spec-damaged", "revision", what)
    return Kept(row, cast(Document, json.loads(row.body)))


def _hash(body: str) -> str:
    return hashlib.sha256(body.encode()).hexdigest()


_newest_decision = Direct(select(func.max(SpecDecision.id)))
_joined: dict[str, tuple[Library, int, Library]] = {}


def library_of(db: Session, shipped: Library) -> Library:
    """The library that ships, with the shop's own vehicles that are approved, in place of any of the same name.

    The same object until something is decided, since much is kept for as long as a library. Cheap: one look-up. Of
    figures that do not fit the procedures any more (which a new version may bring) nothing is taken.
    """
    latest = _newest_decision.rows(db.connection())[0][0]
    if latest is None:
        return shipped
    shop = str(db.get_bind().engine.url)
    known = _joined.get(shop)
    if known is None or known[0] is not shipped or known[1] != latest:
        known = _joined[shop] = shipped, latest, _join(db, shipped)
    return known[2]


def approvals(db: Session) -> list[SpecDecision]:
    """The approvals by which the shop's own vehicles are worked with now, by name."""
    last = select(func.max(SpecDecision.id)).group_by(col(SpecDecision.vehicle))
    chosen = select(SpecDecision).where(col(SpecDecision.id).in_(last), SpecDecision.decision == "approved")
    return list(db.exec(chosen.order_by(SpecDecision.vehicle)))


def _join(db: Session, shipped: Library) -> Library:
    vehicles, by_whom = dict(shipped.vehicles), {}
    for one in approvals(db):
        if vehicle := _worked_with(db, shipped, one):
            person = db.get(Person, one.decided_by)
            by = person.name if person else one.decided_by
            vehicles[one.vehicle] = vehicle
            by_whom[one.vehicle] = Approval(revision=one.revision, by=by, at=one.decided_at)
    return shipped.model_copy(update={"vehicles": vehicles, "approvals": by_whom})


def _worked_with(db: Session, library: Library, one: SpecDecision) -> Vehicle | None:
    """The vehicle that was approved, or None where no sheet could be made with it: nobody else's job waits for that."""
    try:
        vehicle = Vehicle.model_validate(revision_of(db, one.vehicle, one.revision).document)
        return vehicle if can_be_worked(library, vehicle, english) else None
    except (BaybookError, ValueError, KeyError):
        return None
