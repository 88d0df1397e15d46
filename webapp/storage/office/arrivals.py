"""Taking in what a shop sends: each entry of its log once, in its order, with what was recorded of the job.

One transaction a bundle; the shop's row is held, so what comes twice at once comes one after the other.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, insert, select, update

from webapp.core.bundle import Bundle, Checked, Sent, check_body, cosigned_text, need_continued
from webapp.core.errors import Conflict
from webapp.core.evidence import Head, Signed
from webapp.core.proven import Finding
from webapp.storage.office import months, rows, tables
from webapp.storage.office.shops import cosigned, need_member, shop_of

Cosign = Callable[[bytes], str]


@dataclass(frozen=True)
class Taken:
    """How far a shop's log has come, the head that was cosigned, what became of each entry, which photos lack, and
    which go, since their job was erased.
    """

    size: int
    head: Head
    at: str
    cosignature: str
    answers: list[dict[str, Any]] = field(default_factory=list)
    photos: list[str] = field(default_factory=list)
    erased: list[str] = field(default_factory=list)


def take(db: Connection, shop: str, bundle: Bundle, signed: Signed, cosign: Cosign, now: str) -> Taken:
    """Take in a bundle, in a transaction of `door.of_shop`; its parts have been made.

    `signed` goes by the shop's key, `cosign` signs with head office's. What comes with an entry and is not what the
    entry tells of is kept aside, and answered so; the entry itself is proven, and counts.

    Raises what `need_continued` raises, NotFound (`shop-unknown`), NotAllowed (`shop-left`) and Conflict (`entry-gap`).
    """
    row = shop_of(db, shop, for_update=True)
    need_member(row)
    need_continued(bundle, cosigned(row), signed)
    news = _news(bundle, row["size"])
    found = _keep(db, shop, row["log"], [check_body(one) for one in news], now)
    erased = [name for one in news if one.entry.why == "erased" for name in rows.erase(db, shop, one.entry.job)]
    size = row["size"] + len(news)
    said = {"size": size, "seen_at": now, "version": bundle.version, "refused": None, "refused_at": None}
    db.execute(update(tables.shop).where(tables.shop.c.id == shop).values(said))
    at, signature = _cosign(db, shop, row, bundle.head, cosign, now)
    known = [{"number": one.number, "status": "known"} for one in bundle.sent if one.number < row["size"]]
    answers = known + [_answer(one, found.get(one.number)) for one in news]
    return Taken(size, bundle.head, at, signature, answers, rows.wanted_photos(db, shop), erased)


def _news(bundle: Bundle, size: int) -> list[Sent]:
    """The entries that have not arrived yet. Raises Conflict (`entry-gap`) where one before them has not."""
    news = sorted((one for one in bundle.sent if one.number >= size), key=lambda one: one.number)
    for number, one in enumerate(news, size):
        if one.number != number:
            what = f"entries go on with {one.number}, but {number} have arrived; send from {number}"
            raise Conflict("entry-gap", "entries", what)
    return news


def _cosign(db: Connection, shop: str, row: Any, head: Head, cosign: Cosign, now: str) -> tuple[str, str]:
    """When the head was cosigned, and the signature; one that was before keeps its own."""
    log, table = row["log"], tables.head
    here = (table.c.shop == shop, table.c.log == log, table.c.size == head.size)
    if before := db.execute(select(table.c.cosigned_at, table.c.cosignature).where(*here)).first():
        return before[0], before[1]
    made = cosign(cosigned_text(shop, head, now).encode())
    said = {"size": head.size, "root": head.root, "at": head.at, "signature": head.signature}
    db.execute(insert(table).values(said | {"shop": shop, "log": log, "cosigned_at": now, "cosignature": made}))
    stands = {"head_size": head.size, "head_root": head.root}
    db.execute(update(tables.shop).where(tables.shop.c.id == shop).values(stands))
    return now, made


def _keep(db: Connection, shop: str, log: int, checked: list[Checked], now: str) -> dict[int, Finding]:
    """Write all of it; return by entry what speaks against what came with it: that is kept aside."""
    found = {one.sent.number: one.findings[0] for one in checked if one.findings}
    whole = [one for one in checked if one.sent.body and not one.findings]
    known = rows.known(db, shop, whole)
    found |= rows.elsewhere(whole, known)
    found |= rows.keep_events(db, shop, [one for one in whole if one.sent.number not in found])
    rows.keep_entries(db, shop, log, checked)
    kept = [one for one in whole if one.sent.number not in found]
    rows.keep_jobs(db, shop, kept)
    again = rows.months_again(kept, known)
    months.anew(db, shop, again)
    months.add(db, shop, *rows.timed(one for one in kept if rows.day_of(one).replace(day=1) not in again))
    rows.set_aside(db, shop, log, [(one, found[one.sent.number]) for one in checked if one.sent.number in found], now)
    return found


def _answer(sent: Sent, found: Finding | None) -> dict[str, Any]:
    if found is None:
        return {"number": sent.number, "status": "kept"}
    error = {"code": found.code, "field": found.field, "message": found.message}
    return {"number": sent.number, "status": "aside", "error": error}
