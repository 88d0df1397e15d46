"""Who is working: the person in the session's cookie, begun with badge and PIN; and the lock of a phone left lying.

Nothing of the lock is looked up: when the phone was used last stands in the cookie, which is written once a minute.
"""

import secrets
from time import time
from urllib.parse import quote

from flask import g, redirect, request, session
from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core import lock
from webapp.core.errors import NotAllowed
from webapp.core.kinds.common import Person
from webapp.storage import people, pins, tables
from webapp.web import db, moment

ELSEWHERE = "elsewhere"
"""Where a PIN is tried in a browser in which that person never gave the right one: these count as one phone."""
MOST_KNOWN = 40
OPEN_ROOMS = (None, "pwa", "sync")
"""What a phone asks by itself, or needs nobody for: a locked one, too."""
ANSWER_THEMSELVES = ("jobs.show_badge", "jobs.take_badge", "jobs.act_on_job")
GO_BY_THE_SESSION = ("sync.decide_aside", "sync.take_import")


def current_person() -> Person | None:
    """The person who works with this phone, or None: nobody, or it is locked.

    Asked of the database once a request, so that a revoked badge or phone ends here.
    """
    if "person" not in g:
        with db.session() as held:
            g.person = person_in(held)
    return g.person  # type: ignore[no-any-return]


def person_in(held: Session) -> Person | None:
    """The same, asked in a transaction that is open already."""
    code = badge()
    return people.at_work(held, code, phone()) if code else None


def badge() -> str | None:
    """The badge of whoever works with this phone, whoever's it may be by now; None where nobody does."""
    return None if is_locked() else holder()


def holder() -> str | None:
    """The badge of whoever has this phone, locked or not."""
    return session.get("person")


def phone() -> str | None:
    """The name of the paired phone that this is, where it has signed for whoever works with it."""
    return session.get("device")


def set_person(code: str | None) -> None:
    session["person"], session["used"] = code, int(time())
    session.pop("locked", None)
    session.permanent = True
    g.pop("person", None)


def is_locked() -> bool:
    """Whether somebody has this phone and has to give their PIN first. One who never gave it has to, too."""
    if session.get("person") is None:
        return False
    used_s = session.get("used")
    return used_s is None or "locked" in session or lock.is_locked(used_s, time(), db.settings().lock_after_s)


def lock_now() -> None:
    session["locked"] = True
    g.pop("person", None)


def need_unlocked() -> None:
    """Raise NotAllowed (`phone-locked`) where this phone is locked."""
    if is_locked():
        what = "this phone is locked, since nobody has used it for a while; give your PIN, then send it again"
        raise NotAllowed("phone-locked", "pin", what)


def keep_locked() -> Response | None:
    """Before each request: a locked phone shows no page but the one that asks for the PIN, and takes nothing."""
    if request.blueprint in OPEN_ROOMS and request.endpoint not in GO_BY_THE_SESSION:
        return None
    if not is_locked():
        _note_use()
        return None
    if request.endpoint in ANSWER_THEMSELVES:
        return None
    if request.method in ("GET", "HEAD"):
        return redirect(f"/badge?to={quote(request.full_path.rstrip('?'))}", 303)
    need_unlocked()
    return None


def _note_use() -> None:
    if session.get("person") and lock.is_worth_noting(session.get("used"), time(), db.settings().lock_after_s):
        session["used"] = int(time())


def pin_fits(person: tables.Person, pin: str) -> bool:
    """Whether the PIN is that person's. Raises NotAllowed (`pin-rests`) where it may not be tried on this phone now."""
    known = session.get("known", "").split()  # a text, since a session that holds a list is opened anew at every tap
    where = phone() or (session["browser"] if person.code in known else ELSEWHERE)
    if not pins.check_pin(db.engine(), person, pin, where, moment.now().at):
        return False
    if person.code not in known:
        session.setdefault("browser", secrets.token_hex(8))
        session["known"] = " ".join([*known, person.code][-MOST_KNOWN:])
        session.permanent = True
    return True
