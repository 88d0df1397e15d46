"""Who is working: the badge in the session's cookie."""

from flask import g, session

from webapp.core.kinds.common import Person
from webapp.storage import people
from webapp.web import db


def current_person() -> Person | None:
    """The person whose badge was scanned on this phone, or None.

    Asked of the database once a request, so that a revoked badge ends here.
    """
    if "person" not in g:
        code = session.get("person")
        g.person = None
        if code:
            with db.session() as held:
                found = people.by_badge(held, code)
                if found and found.active:
                    g.person = Person(found.code, found.role, found.name)
    return g.person  # type: ignore[no-any-return]


def set_person(code: str | None) -> None:
    session["person"] = code
    session.permanent = True
    g.pop("person", None)
