"""Who is working: the badge in the session's cookie."""

from flask import g, session
from sqlmodel import Session

from webapp.core.kinds.common import Person
from webapp.storage import people
from webapp.web import db


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
