"""The server's own journal: the name under which it records what is done at its own pages.

A server that was put back from an older backup has forgotten events that phones have heard of. Were it to go on under
its old name, it would give their places to other events; so it goes on under a new one.
"""

import secrets

from sqlalchemy import text
from sqlmodel import Session

from webapp.storage.tables import Fact

FIRST = "server"
NUMBERS_AHEAD = 1_000_000
"""After a restore, events are numbered from so far on: phones ask for what is newer than the last they heard of."""
_BEGIN_NUMBERS = text(
    "INSERT INTO sqlite_sequence (name, seq) "
    "SELECT 'event', 0 WHERE NOT EXISTS (SELECT 1 FROM sqlite_sequence WHERE name = 'event')"
)
_NUMBER_ON = text("UPDATE sqlite_sequence SET seq = seq + :ahead WHERE name = 'event'")


def name_of(db: Session) -> str:
    """The journal's name now."""
    fact = db.get(Fact, "journal")
    return fact.value if fact else FIRST


def is_own(device: str) -> bool:
    """Whether that is, or was, the server's own journal."""
    return device == FIRST or device.startswith(f"{FIRST}-")


def begin_anew(db: Session) -> str:
    """Go on under a name that was never used, and on SQLite with numbers that were never given. Return the name.

    On another database a phone finds that the numbers went back, and asks for everything once more.
    """
    fact = db.get(Fact, "journal") or Fact(name="journal", value=FIRST)
    fact.value = f"{FIRST}-{secrets.token_hex(4)}"
    db.add(fact)
    db.flush()
    if db.get_bind().dialect.name == "sqlite":
        db.connection().execute(_BEGIN_NUMBERS)
        db.connection().execute(_NUMBER_ON, {"ahead": NUMBERS_AHEAD})
    return fact.value
