"""What one process holds of the finished jobs' times, and how it keeps up with what is new.

Each process reads the packed rows once and from then on only those that are new, at each look. What is new is kept as
small parts beside the large one until there is enough of it to be worth sorting in.
"""

from collections.abc import Sequence
from threading import Lock
from typing import Any
from weakref import WeakKeyDictionary

from sqlalchemy import select
from sqlalchemy.engine import Engine
from sqlmodel import Session

from webapp.storage.figures.columns import Figures
from webapp.storage.figures.part import Part, part_of, without
from webapp.storage.packed import PARTS
from webapp.storage.time_tables import PackedTime, Word

MOST_SMALL = 8
"""With so many small parts they are put together."""
AT_ONCE = 20_000
"""So many jobs make a part at most: what reading them takes beside is freed again."""
SMALL = 5000
"""A part of fewer jobs than this is a small one."""

_held: WeakKeyDictionary[Engine, Figures] = WeakKeyDictionary()
_door = Lock()


def figures(db: Session) -> Figures:
    """The figures of all jobs that this transaction sees finished."""
    engine = db.get_bind().engine
    with _door:
        held = _held.get(engine) or Figures()
        held = _held[engine] = _refreshed(db, held)
    return held


def _refreshed(db: Session, held: Figures) -> Figures:
    parts, last = list(held.parts), held.last
    if not _is_more(db, last):
        return held
    large = [part for part in parts if len(part.seq) >= SMALL]
    if len(parts) - len(large) >= MOST_SMALL:
        # A look goes through every part: many small ones are read once more, as one.
        parts, last = large, int(large[-1].seq[-1]) if large else 0
    while rows := _read(db, last):
        last = int(rows[-1][0])
        replaced = [one for _, one, *_ in rows if one is not None]
        parts.append(part_of(rows))
        if replaced:
            parts = [without(part, replaced) for part in parts]
    large = [part for part in parts if len(part.seq) >= SMALL]
    if len(large) > 1:
        # A look goes through one block a calibration, however many jobs there are.
        parts = [Part.merged(large), *(part for part in parts if len(part.seq) < SMALL)]
    words = Word.__table__  # type: ignore[attr-defined]
    codes = dict(tuple(row) for row in db.connection().execute(select(words.c.text, words.c.code)))
    return Figures(tuple(part for part in parts if part.alive.any()), codes, last)


def _is_more(db: Session, after: int) -> bool:
    seq = PackedTime.__table__.c.seq  # type: ignore[attr-defined]
    return db.connection().execute(select(seq).where(seq > after).limit(1)).first() is not None


def _read(db: Session, after: int) -> Sequence[Any]:
    """The next rows, as many as make a part."""
    table = PackedTime.__table__  # type: ignore[attr-defined]
    columns = (table.c.seq, table.c.replaces, *(table.c[name] for name in PARTS))
    query = select(*columns).where(table.c.seq > after).order_by(table.c.seq).limit(AT_ONCE)
    return db.connection().execute(query).all()
