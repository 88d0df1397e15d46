"""Releases of head office at this shop: fetched whole, approved or declined, and since when one is worked by.

A release is kept by its number at head office; here it has an id, which pages and decisions name. 0 is what came along.
"""

from collections.abc import Iterable, Mapping
from typing import Any

from sqlalchemy import Connection, func
from sqlmodel import Session, col, select

from webapp.core.errors import BadInput, Conflict, NotFound, Stale, shown
from webapp.core.release import Release as Said
from webapp.core.release import read_manifest, sha256
from webapp.storage.direct import Direct
from webapp.storage.outbox_tables import HeadOffice
from webapp.storage.release_tables import Release, ReleaseAsked, ReleaseDecision, ReleaseFile, ReleaseTurn
from webapp.storage.tables import Job

CAME_ALONG = 0
"""The id that stands for the procedures that the program, or the shop's own folder, brings along."""


def office_of(office: HeadOffice) -> str:
    """What tells one head office's releases from another's: the SHA-256 of the key that it signs with."""
    return sha256(office.key.encode())


def newest(db: Session, office: HeadOffice) -> Release | None:
    """The last release of that head office that is held here."""
    chosen = select(Release).where(Release.office == office_of(office))
    return db.exec(chosen.order_by(col(Release.number).desc()).limit(1)).first()


def need_newer(db: Session, office: HeadOffice, said: Said) -> None:
    """Raise Conflict (`release-older`, `release-other`) for one that is not newer than what is held."""
    held = newest(db, office)
    if held is None or said.number > held.number:
        return
    if said.number == held.number:
        what = f"release={said.number} is another one than the {said.number} that is held here; ask at head office"
        raise Conflict("release-other", "number", what)
    what = f"release={said.number} is older than the {held.number} that is held here; ask at head office who answers"
    raise Conflict("release-older", "number", what)


def lacking(db: Session, said: Said) -> list[str]:
    """The digests of its files that are not here yet, each once, in its order."""
    wanted = list(dict.fromkeys(one.sha256 for one in said.files))
    held = set(db.exec(select(ReleaseFile.sha256).where(col(ReleaseFile.sha256).in_(wanted))))
    return [one for one in wanted if one not in held]


def keep_file(db: Session, digest: str, body: bytes) -> None:
    """Keep a file that was fetched. Raises BadInput (`release-file`) where it is not what its digest tells of."""
    if sha256(body) != digest:
        what = f"file={digest[:12]} of the release came otherwise than its digest says; it is fetched again"
        raise BadInput("release-file", "file", what)
    if db.get(ReleaseFile, digest) is None:
        db.add(ReleaseFile(sha256=digest, body=body))


def files_of(db: Session, said: Said) -> dict[str, bytes]:
    """A release's files by their places. Raises Conflict (`release-damaged`) where one is not as it was fetched."""
    wanted = {one.sha256 for one in said.files}
    found = {one.sha256: one.body for one in db.exec(select(ReleaseFile).where(col(ReleaseFile.sha256).in_(wanted)))}
    for one in said.files:
        if sha256(found.get(one.sha256, b"")) != one.sha256:
            what = f"file={shown(one.place)} is not as it was fetched; restore this shop from a backup"
            raise Conflict("release-damaged", "file", what)
    return {one.place: found[one.sha256] for one in said.files}


def keep(db: Session, office: HeadOffice, said: Said, signature: str, now: str) -> Release:
    """Keep a release, all of whose files are here and were found good; from now on it can be approved."""
    text = said.text()
    row = Release(
        office=office_of(office),
        number=said.number,
        manifest=text,
        sha256=sha256(text.encode()),
        signature=signature,
        made_at=said.made_at,
        made_by=said.made_by,
        note=said.note,
        fetched_at=now,
    )
    db.add(row)
    db.flush()
    return row


def release(db: Session, number: int) -> Release:
    """A release by its id here. Raises NotFound (`release-unknown`)."""
    if (row := db.get(Release, number)) is None:
        what = f"release={number} is none that was fetched here; choose one of the list"
        raise NotFound("release-unknown", "release", what)
    return row


def said_by(row: Release) -> Said:
    """What a release that is held says. It was signed when it was fetched, so only its digest is asked here.

    Raises Conflict (`release-damaged`).
    """
    if sha256(row.manifest.encode()) != row.sha256:
        what = f"release={row.number} is not as it was fetched; restore this shop from a backup"
        raise Conflict("release-damaged", "release", what)
    return read_manifest(row.manifest, b"", lambda _signature, _said: True)


def every(db: Session) -> list[Release]:
    """All releases that are held, the newest first."""
    return list(db.exec(select(Release).order_by(col(Release.id).desc())))


def decisions(db: Session, number: int | None = None) -> list[ReleaseDecision]:
    """What was decided, on one release or on all, the newest first."""
    chosen = select(ReleaseDecision).order_by(col(ReleaseDecision.id).desc())
    return list(db.exec(chosen if number is None else chosen.where(ReleaseDecision.release == number)))


_last_turn = Direct(select(ReleaseTurn.release, ReleaseTurn.id).order_by(col(ReleaseTurn.id).desc()).limit(1))


def in_use(connection: Connection) -> int:
    """The id of the release that jobs are planned by now. Cheap: each request asks, so all processes turn together."""
    rows = _last_turn.rows(connection)
    return int(rows[0][0]) if rows else CAME_ALONG


def last_turn(db: Session) -> ReleaseTurn | None:
    """The taking-up that counts now, None where nothing was ever taken up."""
    return db.exec(select(ReleaseTurn).order_by(col(ReleaseTurn.id).desc()).limit(1)).first()


def running(db: Session) -> int:
    """How many jobs are begun and not ended."""
    return db.exec(select(func.count()).select_from(Job).where(Job.phase == "open")).one()


def waiting(db: Session) -> Release | None:
    """The release that waits for somebody's decision: the newest one, where nothing was decided on it yet."""
    office = db.get(HeadOffice, 1)
    row = newest(db, office) if office else None
    return row if row and not decisions(db, row.id) else None


def pending(db: Session) -> ReleaseDecision | None:
    """The approval that is still to be taken up, once no job is running; one that was declined since is none."""
    last = next((one for one in decisions(db) if one.decision == "approved"), None)
    if last is None or db.exec(select(ReleaseTurn.id).where(ReleaseTurn.decision == last.id)).first():
        return None
    later = next(iter(decisions(db, last.release)))
    return last if later.id == last.id else None


def approve(db: Session, number: int, seen: int, by: str, at: str, waits: bool) -> None:
    """Have jobs planned by a release (or by what came along, 0): from now on, or `waits` until no job is running.

    `seen` is the id of the release that was in use when whoever approves read what changes.

    Raises NotFound (`release-unknown`), Conflict (`release-in-use`) or Stale (`release-changed`).
    """
    if number != CAME_ALONG:
        release(db, number)
    now = in_use(db.connection())
    if now == number and pending(db) is None:
        raise Conflict("release-in-use", "release", "this release is worked by already; nothing was changed")
    if now != seen:
        what = "another release was taken up in between: look at what changes from that one, then approve"
        raise Stale("release-changed", "release", what)
    made = _decide(db, number, "approved", by, at, waits=waits)
    if not waits or not running(db):
        _turn(db, made, at)


def decline(db: Session, number: int, by: str, at: str, why: str) -> None:
    """Not take a release up, for a reason that head office is told.

    Raises NotFound (`release-unknown`) or Conflict (`release-in-use`).
    """
    release(db, number)
    if in_use(db.connection()) == number:
        what = "this release is worked by: take up another one in its place, which ends it"
        raise Conflict("release-in-use", "release", what)
    _decide(db, number, "declined", by, at, why)


def take_up(db: Session, at: str) -> bool:
    """Take up what was approved and waits, if no job is running; return whether something was."""
    made = pending(db)
    if made is None or running(db):
        return False
    _turn(db, made, at)
    return True


def _decide(
    db: Session, number: int, decision: str, by: str, at: str, why: str = "", waits: bool = False
) -> ReleaseDecision:
    made = ReleaseDecision(release=number, decision=decision, waits=waits, decided_at=at, decided_by=by, why=why)
    db.add(made)
    db.flush()
    return made


def _turn(db: Session, made: ReleaseDecision, at: str) -> None:
    db.add(ReleaseTurn(release=made.release, decision=made.id or 0, at=at))
    db.flush()


# --- what head office is asked and told


def asked(db: Session) -> ReleaseAsked:
    return db.get(ReleaseAsked, 1) or ReleaseAsked()


def note_asked(db: Session, now: str, code: str | None = None, why: str | None = None) -> None:
    """Head office was asked; `why` says what kept its release from being taken, if anything did."""
    row = asked(db)
    row.asked_at, row.code, row.why, row.why_at = now, code, why, now if why else None
    db.add(row)


def hurry(db: Session) -> None:
    """Have head office asked at once."""
    row = asked(db)
    row.asked_at = None
    db.add(row)


def untold(db: Session, office: HeadOffice, names: Mapping[str, str]) -> dict[str, Any] | None:
    """What head office has not heard of: decisions on its releases, and which of them is worked by (0 for none of
    them). None where it knows.
    """
    row, turn = asked(db), last_turn(db)
    theirs = {one.id: one.number for one in every(db) if one.office == office_of(office)}
    new = [one for one in reversed(decisions(db)) if (one.id or 0) > row.told]
    turned = turn.id or 0 if turn else 0
    if not new and turned == row.told_turn:
        return None
    told = [
        {
            "id": one.id, "number": theirs.get(one.release, 0), "decision": one.decision, "at": one.decided_at,
            "by": names.get(one.decided_by, one.decided_by), "why": one.why,
        }
        for one in new
        if one.release in theirs or one.release == CAME_ALONG
    ]  # fmt: skip
    upto = max([row.told, *(one.id or 0 for one in new)])
    return {"answers": told, "works_by": theirs.get(turn.release, 0) if turn else 0, "upto": upto, "turn": turned}


def note_told(db: Session, upto: int, turn: int) -> None:
    """Head office knows what was decided here up to there."""
    row = asked(db)
    row.told, row.told_turn = upto, turn
    db.add(row)


def tell_anew(db: Session) -> None:
    """Have everything told once more: this shop has joined anew."""
    row = asked(db)
    row.asked_at, row.told, row.told_turn = None, 0, -1
    db.add(row)


def worked_by_before(db: Session) -> Iterable[int]:
    """The ids of what was ever worked by, the latest first."""
    return dict.fromkeys(db.exec(select(ReleaseTurn.release).order_by(col(ReleaseTurn.id).desc())).all())
