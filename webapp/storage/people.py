"""The people of the shop: a badge says who, a PIN says that it is really them."""

import json
from collections.abc import Mapping, Sequence
from functools import lru_cache

from sqlalchemy import bindparam, exists, update
from sqlalchemy import select as columns
from sqlmodel import Session, col, select

from webapp.core.errors import BadInput, NotFound, shown
from webapp.core.kinds import common as core
from webapp.core.short import chosen
from webapp.storage.codes import free_code, new_code
from webapp.storage.direct import Direct
from webapp.storage.phone_tables import Device
from webapp.storage.pins import hash_pin
from webapp.storage.tables import ROLES, Person

BADGE_LENGTH = 6
NAME_CHARACTERS = 60
_turned_away = exists().where(col(Device.id) == bindparam("phone"), col(Device.revoked_at).is_not(None))
_row = Person.__table__  # type: ignore[attr-defined]
_at_work = Direct(
    columns(_row.c.code, _row.c.role, _row.c.name, _row.c.short, _row.c.levels).where(
        _row.c.code == bindparam("badge"), _row.c.active, ~_turned_away
    )
)


def everyone(db: Session) -> list[Person]:
    """Return all people by name, those who left at the end."""
    return list(db.exec(select(Person).order_by(col(Person.active).desc(), Person.name, Person.code)))


def by_badge(db: Session, code: str) -> Person | None:
    """Return whose badge that is, whether still active or not; None for a badge of nobody."""
    return db.get(Person, code)


def at_work(db: Session, code: str, phone: str | None = None) -> core.Person | None:
    """Return whose badge that is; None for a badge of nobody, or of somebody who left, or on a phone turned away.

    Asked at every tap, so quick.
    """
    rows = _at_work.rows(db.connection(), badge=code, phone=phone)
    if not rows:
        _seen.pop(code, None)
        return None
    badge, role, name, short, levels = rows[0]
    _seen[code] = core.Person(badge, role, name, read_of(short), levels_of(levels))
    return _seen[code]


def recall(code: str) -> core.Person | None:
    """Whose badge that was when it was last asked for. Only for what is checked again when it is written."""
    return _seen.get(code)


def person(db: Session, code: str) -> Person:
    """Return whose badge that is. Raises NotFound (`badge-unknown`)."""
    if (found := by_badge(db, code)) is None:
        raise NotFound(
            "badge-unknown", "badge", f"badge={shown(code)} is nobody's badge here; look at the people's page"
        )
    return found


def add_person(db: Session, name: str, role: str, pin: str = "", code: str = "") -> Person:
    """Add somebody, with a new badge unless `code` gives one; without a PIN the person cannot countersign.

    Raises BadInput (`person-name`, `person-role`, `person-pin`, `label-code`) or Conflict (`code-taken`).
    """
    badge = free_code(db, code) if code else new_code(db, "", length=BADGE_LENGTH)
    added = Person(code=badge, name=_name(name), role=_role(role), pin_hash=hash_pin(pin) if pin else None)
    db.add(added)
    db.flush()
    return added


def change_person(
    db: Session, code: str, *, name: str, role: str, active: bool, short: Sequence[str] | None = None
) -> Person:
    """Change what is known of somebody; raises as `person` and `add_person` do.

    `short` names the procedures of which they read the short text from now on; left out, that stays as it is.
    """
    found = person(db, code)
    found.name, found.role, found.active = _name(name), _role(role), active
    if short is not None:
        found.short = spelled(short)
    db.add(found)
    return found


def choose_texts(db: Session, code: str | None, procedure: str, texts: str) -> core.Person | None:
    """Whoever has that badge says which text of a procedure they read, `full` or `short`; return them as they are then.

    Call it in a `writing` transaction, since it reads what it changes. Raises BadInput or NotAllowed as
    `core.short.chosen` does.
    """
    short = chosen(at_work(db, code) if code else None, procedure, texts)
    db.connection().execute(update(Person).where(col(Person.code) == code).values(short=spelled(short)))
    return at_work(db, code) if code else None


def spelled(short: Sequence[str]) -> str:
    """The names of procedures as their column has them: in order, each once."""
    return json.dumps(sorted(set(short)), separators=(",", ":"))


@lru_cache
def read_of(column: str) -> tuple[str, ...]:
    """The names that such a column holds."""
    return tuple(json.loads(column))


def as_known(row: Person) -> core.Person:
    """Somebody as the rules know them."""
    return core.Person(row.code, row.role, row.name, read_of(row.short), levels_of(row.levels))


def in_order(levels: Mapping[str, str]) -> str:
    """What was said of somebody by calibration, as the column has it: equal sayings are equal texts."""
    return json.dumps(dict(levels), sort_keys=True, separators=(",", ":"))


def levels_of(column: str) -> dict[str, str]:
    """What such a column holds."""
    found: dict[str, str] = json.loads(column) if column != "{}" else {}
    return found


def set_pin(db: Session, code: str, pin: str) -> None:
    """Give somebody a new PIN. Raises NotFound (`badge-unknown`) or BadInput (`person-pin`)."""
    found = person(db, code)
    found.pin_hash = hash_pin(pin)
    db.add(found)


_seen: dict[str, core.Person] = {}


def _name(text: str) -> str:
    name = " ".join(text.split())
    if not name or len(name) > NAME_CHARACTERS or not name.isprintable():
        raise BadInput("person-name", "name", f"name={shown(text)} must be 1 to {NAME_CHARACTERS} characters in print")
    return name


def _role(text: str) -> str:
    if text not in ROLES:
        raise BadInput("person-role", "role", f"role={shown(text)} must be one of {', '.join(ROLES)}")
    return text
