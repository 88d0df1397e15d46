"""The shops of a head office: let in by a one-time code, known by the key that signs their log.

A shop that was put back from a backup, or went wrong in its log, joins anew by a code that was made for it: it keeps
its name here and all that arrived, and sends its log from the beginning, as its next one.
"""

import hashlib
import json
import secrets
from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, RowMapping, delete, insert, select, update

from webapp.core.errors import BadInput, Conflict, NotAllowed, NotFound, shown
from webapp.core.evidence import Head
from webapp.core.merkle import EMPTY
from webapp.storage.codes import CHARACTERS
from webapp.storage.keys import plain_jwk, public_key
from webapp.storage.moments import later
from webapp.storage.office.months import add_up_anew
from webapp.storage.office.tables import code, reader, shop

CODE_LENGTH = 12
CODE_LASTS_S = 7 * 86400.0
NAME_CHARACTERS = 60


def make_code(db: Connection, name: str, region: str, by: str, now: str, again: str | None = None) -> str:
    """A code by which one shop joins, within a week; only its hash is kept. `again` is the shop that joins anew.

    Raises BadInput (`shop-name`, `shop-region`) or NotFound (`shop-unknown`).
    """
    called, where = (_words(text, field) for text, field in ((name, "name"), (region, "region")))
    if again is not None:
        shop_of(db, again)
    made = "".join(secrets.choice(CHARACTERS) for _ in range(CODE_LENGTH))
    said = {"hash": _hash(made), "name": called, "region": where, "shop": again, "made_by": by}
    db.execute(insert(code).values(said | {"ends_at": later(now, CODE_LASTS_S)}))
    return "-".join(made[begin : begin + 4] for begin in range(0, CODE_LENGTH, 4))


def _words(text: str, field: str) -> str:
    words = " ".join(text.split())
    if not 0 < len(words) <= NAME_CHARACTERS or not words.isprintable():
        what = f"{field}={shown(text)} must be 1 to {NAME_CHARACTERS} characters; type it again"
        raise BadInput(f"shop-{field}", field, what)
    return words


def new_name() -> str:
    return f"shop-{secrets.token_hex(8)}"


def redeem(db: Connection, given: str, now: str) -> RowMapping:
    """Take a code: what it was made for. Raises NotAllowed (`join-code`)."""
    # How it is wrong is not told: whoever guesses shall not learn that a code was once right.
    found = db.execute(select(code).where(code.c.hash == _hash(given)).with_for_update()).mappings().first()
    if found is None or found["used_at"] or found["ends_at"] < now:
        what = "code is not one that waits for a shop: it is good once and for a week; have head office make a new one"
        raise NotAllowed("join-code", "code", what)
    db.execute(update(code).where(code.c.hash == found["hash"]).values(used_at=now))
    return found


def let_in(db: Connection, name: str, made_for: RowMapping, key: Any, now: str) -> None:
    """Let a shop in under that name, in a transaction of `door.of_shop`.

    Raises BadInput (`key-unusable`) or Conflict (`shop-other-key`).
    """
    public_key(key)
    jwk = plain_jwk(key)
    begun = {"size": 0, "head_size": 0, "head_root": EMPTY.hex(), "refused": None, "refused_at": None, "seen_at": now}
    about = {"name": made_for["name"], "region": made_for["region"], "joined_at": now, "joined_by": made_for["made_by"]}
    known = db.execute(select(shop).where(shop.c.id == name).with_for_update()).mappings().first()
    if known is None:
        db.execute(insert(shop).values(id=name, key=jwk, log=1, **about, **begun))
        return
    if known["key"] != jwk:
        what = f"key is not that of '{known['name']}': its data folder is another; have a code made for a new shop"
        raise Conflict("shop-other-key", "key", what)
    if known["region"] != made_for["region"]:
        add_up_anew(db)
    db.execute(update(shop).where(shop.c.id == name).values(log=known["log"] + 1, left_at=None, **about, **begun))


def shop_of(db: Connection, name: str, for_update: bool = False) -> RowMapping:
    """A shop by its name. Raises NotFound (`shop-unknown`)."""
    wanted = select(shop).where(shop.c.id == name)
    found = db.execute(wanted.with_for_update() if for_update else wanted).mappings().first()
    if found is None:
        what = f"shop={shown(name)} has not joined this head office; have a code made, and join"
        raise NotFound("shop-unknown", "shop", what)
    return found


def need_member(row: RowMapping) -> None:
    """Raise NotAllowed (`shop-left`) for a shop that head office takes nothing from any more."""
    if row["left_at"]:
        what = f"shop='{row['name']}' was taken out on {row['left_at'][:10]}; have head office make a code to join anew"
        raise NotAllowed("shop-left", "shop", what)


def cosigned(row: RowMapping) -> Head:
    """The head of the shop's log that was cosigned last; that of nothing where none was."""
    return Head(row["head_size"], row["head_root"], "")


def key_of(row: RowMapping) -> Any:
    return public_key(json.loads(row["key"]))


def all_shops(db: Connection) -> list[RowMapping]:
    """Those that are seen, by region and name."""
    return list(db.execute(select(shop).order_by(shop.c.region, shop.c.name, shop.c.id)).mappings())


def take_out(db: Connection, name: str, by: str, now: str) -> None:
    """Take nothing from a shop any more. What has arrived stays. Raises NotFound (`shop-unknown`)."""
    shop_of(db, name)
    db.execute(update(shop).where(shop.c.id == name).values(left_at=now, left_by=by))


def note_refused(db: Connection, name: str, message: str | None, now: str, version: str | None = None) -> None:
    """A shop was heard of: what it was refused, if it was, and which version it runs."""
    said = {"seen_at": now, "refused": message, "refused_at": now if message else None}
    db.execute(update(shop).where(shop.c.id == name).values(said | ({"version": version} if version else {})))


def readers(db: Connection) -> dict[str, list[str]]:
    """By badge, the regions that were given to somebody to see."""
    given: dict[str, list[str]] = {}
    for row in db.execute(select(reader).order_by(reader.c.person, reader.c.region)):
        given.setdefault(row.person, []).append(row.region)
    return given


def give_regions(db: Connection, person: str, regions: Sequence[str]) -> None:
    """Say which regions somebody sees, in place of what was said before.

    Raises NotFound (`person-unknown`) or BadInput (`shop-region`).
    """
    if not person:
        raise NotFound("person-unknown", "person", "person is nobody's badge here; choose somebody from the list")
    named = {_words(one, "region") for one in regions}
    db.execute(delete(reader).where(reader.c.person == person))
    if named:
        db.execute(insert(reader), [{"person": person, "region": one} for one in sorted(named)])


def _hash(given: str) -> str:
    return hashlib.sha256("".join(given.split()).replace("-", "").upper().encode()).hexdigest()
