"""Who is working: the badge in the session's cookie."""

import secrets

from flask import g, session
from sqlmodel import Session

from webapp.core.kinds.common import Person
from webapp.storage import people, pins, tables
from webapp.web import db, moment

ELSEWHERE = "elsewhere"
"""Where a PIN is tried in a browser in which that person never gave the right one: these count as one phone."""
MOST_KNOWN = 40


def current_person() -> Person | None:
    """The person whose badge was scanned on this phone, or None.

    Asked of the database once a request, so that a revoked badge ends here.
    """
    if "person" not in g:
        with db.session() as held:
            g.person = person_in(held)
    return g.person  # type: ignore[no-any-return]


def person_in(held: Session) -> Person | None:
    """The same, asked in a transaction that is open already."""
    code = badge()
    return people.at_work(held, code) if code else None


def badge() -> str | None:
    """The code of the badge that was scanned on this phone, whoever's it may be by now."""
    return session.get("person")


def set_person(code: str | None) -> None:
    session["person"] = code
    session.permanent = True
    g.pop("person", None)


def pin_fits(person: tables.Person, pin: str) -> bool:
    """Whether the PIN is that person's. Raises NotAllowed (`pin-rests`) where it may not be tried on this phone now."""
    known = session.get("known", [])
    where = session["browser"] if person.code in known else ELSEWHERE
    if not pins.check_pin(db.engine(), person, pin, where, moment.now().at):
        return False
    if person.code not in known:
        session.setdefault("browser", secrets.token_hex(8))
        session["known"] = [*known, person.code][-MOST_KNOWN:]
        session.permanent = True
    return True
