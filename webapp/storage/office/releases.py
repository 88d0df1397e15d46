"""What head office has released, number by number, and what each shop made of it.

A release is added and never changed, and the database has no rule by which it could be.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, RowMapping, func, select, text, update
from sqlalchemy.dialects.postgresql import insert

from webapp.core.errors import Conflict, NotFound, shown
from webapp.core.release import Release, files_of, need_note, sha256, signed_text
from webapp.storage.keys import encoded, sign
from webapp.storage.office.tables import release, release_answer, release_file, shop
from webapp.storage.own_keys import RECORDS, private_key

Sign = Callable[[bytes], str]
RELEASING = 0x6261_7972
"""The number of the lock under which releases are numbered."""


@dataclass(frozen=True)
class Made:
    """A new release, and how many of its files are other than the last one's, gone ones with them."""

    release: Release
    changed: int


def make(db: Connection, library: Mapping[str, bytes], note: str, by: str, now: str, signs: Sign) -> Made:
    """Release these files, by their places, in a transaction of `door.of_everything`; they have been linted.

    `signs` signs with head office's key, `by` is a name. Raises BadInput (`release-note`) or Conflict (`release-same`).
    """
    why = need_note(note)
    db.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": RELEASING})
    last, files = newest(db), files_of(library)
    before = dict(_files(last)) if last else {}
    after = {one.place: one.sha256 for one in files}
    if last and before == after:
        what = f"files are those of release {last['number']}; change a procedure or a vehicle before you release"
        raise Conflict("release-same", "files", what)
    made = Release(last["number"] + 1 if last else 1, now, by, why, files)
    bodies = [{"sha256": one.sha256, "body": library[one.place]} for one in files]
    db.execute(insert(release_file).on_conflict_do_nothing(), bodies)
    said = {"manifest": made.text(), "signature": signs(signed_text(made.text()))}
    about = {"number": made.number, "made_at": now, "made_by": by, "note": why, "sha256": sha256(made.text().encode())}
    db.execute(insert(release).values(said | about))
    places = before.keys() | after.keys()
    return Made(made, sum(before.get(place) != after.get(place) for place in places))


def newest(db: Connection) -> RowMapping | None:
    """The last release, None where there is none yet."""
    return db.execute(select(release).order_by(release.c.number.desc()).limit(1)).mappings().first()


def newest_number(db: Connection) -> int:
    """The last release's number, 0 where there is none yet."""
    return int(db.execute(select(func.coalesce(func.max(release.c.number), 0))).scalar_one())


def signing(folder: Path) -> Sign:
    """Signs with the key of the head office that has its data in that folder."""
    key = private_key(folder, RECORDS)
    return lambda said: encoded(sign(key, said))


def every(db: Connection) -> list[RowMapping]:
    """All releases without their manifests, the newest first."""
    about = select(release.c.number, release.c.made_at, release.c.made_by, release.c.note)
    return list(db.execute(about.order_by(release.c.number.desc())).mappings())


def one(db: Connection, number: int) -> RowMapping:
    """A release by its number. Raises NotFound (`release-unknown`)."""
    found = db.execute(select(release).where(release.c.number == number)).mappings().first()
    if found is None:
        raise NotFound(
            "release-unknown", "number", f"release={number} is none of head office's; choose one of the list"
        )
    return found


def file(db: Connection, digest: str) -> bytes:
    """What a file of a release holds. Raises NotFound (`release-file-unknown`)."""
    found = db.execute(select(release_file.c.body).where(release_file.c.sha256 == digest)).first()
    if found is None:
        what = f"sha256={shown(digest)} is no file of a release; ask for the newest release again"
        raise NotFound("release-file-unknown", "sha256", what)
    return bytes(found[0])


def library_of(db: Connection, row: RowMapping) -> dict[str, bytes]:
    """The files of a release by their places."""
    named = _files(row)
    wanted = select(release_file).where(release_file.c.sha256.in_([digest for _, digest in named]))
    bodies = {digest: bytes(body) for digest, body in db.execute(wanted)}
    return {place: bodies[digest] for place, digest in named}


def _files(row: RowMapping) -> list[tuple[str, str]]:
    return [(one["place"], one["sha256"]) for one in json.loads(row["manifest"])["files"]]


def note_answers(db: Connection, row: RowMapping, answers: Sequence[Mapping[str, Any]], works_by: int, now: str) -> int:
    """Keep what a shop (its row) decided, and which release it works by, in a transaction of `door.of_shop`.

    What comes twice is kept once. Return the number of the shop's decision that was heard of last, 0 for none.
    """
    about = {"shop": row["id"], "log": row["log"]}
    if answers:
        db.execute(insert(release_answer).on_conflict_do_nothing(), [about | dict(one) for one in answers])
    if row["release"] != works_by:
        said = {"release": works_by, "release_at": now}
        db.execute(update(shop).where(shop.c.id == row["id"]).values(said))
    here = release_answer.c.shop == row["id"], release_answer.c.log == row["log"]
    return int(db.execute(select(func.coalesce(func.max(release_answer.c.id), 0)).where(*here)).scalar_one())


def answers(db: Connection, number: int | None = None, shop_name: str | None = None) -> list[RowMapping]:
    """What shops that are seen decided, the newest first: on one release, or one shop's."""
    wanted = select(release_answer, shop.c.name.label("shop_name")).join(shop, shop.c.id == release_answer.c.shop)
    if number is not None:
        wanted = wanted.where(release_answer.c.number == number)
    if shop_name is not None:
        wanted = wanted.where(release_answer.c.shop == shop_name)
    newest_first = release_answer.c.at.desc(), release_answer.c.log.desc(), release_answer.c.id.desc()
    return list(db.execute(wanted.order_by(*newest_first)).mappings())
