"""PINs: kept as argon2id hashes at the cost that the library recommends, and checked with a back-off.

A try is counted for the phone it is made on and the person it is made for, together. So whoever guesses on one phone
keeps that person off that phone and no other, and nobody can lock a shop out.
"""

import re
from functools import lru_cache
from math import ceil
from threading import BoundedSemaphore

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerifyMismatchError
from sqlalchemy import Engine
from sqlmodel import Session

from webapp.core.errors import BadInput, NotAllowed
from webapp.storage.engine import writing
from webapp.storage.moments import later, seconds_between
from webapp.storage.tables import Person, PinTry

TRIES = 5
REST_S = 30.0
LONGEST_REST_S = 900.0
"""After five wrong PINs in a row so long nobody may try again there, and after each further one twice as long: nobody
gets through 10,000 of them in a year."""
PIN = re.compile(r"[0-9]{4,8}")
AT_ONCE = 2
"""A check takes 64 MiB and a tenth of a second of four lanes: more of them together would be no faster."""

_checking = BoundedSemaphore(AT_ONCE)


def hash_pin(pin: str) -> str:
    """The hash to keep. Raises BadInput (`person-pin`)."""
    if not PIN.fullmatch(pin):
        # The PIN itself is not quoted back: a message may be read by others.
        raise BadInput("person-pin", "pin", "pin must be 4 to 8 digits")
    return _hasher().hash(pin)


def check_pin(engine: Engine, person: Person, pin: str, where: str, now: str) -> bool:
    """Whether the PIN is that person's; never for somebody without a PIN or no longer active.

    `where` names the phone. Takes a tenth of a second. Raises NotAllowed (`pin-rests`) while it may not be tried there.
    """
    with writing(engine) as db:
        _count(db, where, person.code, now)  # before the check, so that many at once are counted, too
    with _checking:
        right = person.active and person.pin_hash is not None and _fits(person.pin_hash, pin)
    if right:
        with writing(engine) as db:
            _forget(db, where, person.code)
            _renew(db, person, pin)
    return right


def _count(db: Session, where: str, code: str, now: str) -> None:
    tried = db.get(PinTry, (where, code), with_for_update=True) or PinTry(phone=where, person=code)
    if tried.rests_until and (left_s := seconds_between(now, tried.rests_until)) > 0:
        # A clock that was set back must not keep anybody off for longer than they were told.
        left = ceil(min(left_s, LONGEST_REST_S))
        what = f"pin was wrong {tried.wrong} times on this phone; wait {left} s, or use another phone"
        raise NotAllowed("pin-rests", "pin", what)
    tried.wrong += 1
    if tried.wrong >= TRIES:
        tried.rests_until = later(now, min(REST_S * 2 ** min(tried.wrong - TRIES, 10), LONGEST_REST_S))
    db.add(tried)


def _forget(db: Session, where: str, code: str) -> None:
    if tried := db.get(PinTry, (where, code)):
        db.delete(tried)


def _renew(db: Session, person: Person, pin: str) -> None:
    """A hash of a lower cost than is recommended now gives way to one of that cost."""
    if person.pin_hash and _hasher().check_needs_rehash(person.pin_hash):
        kept = db.get(Person, person.code)
        if kept and kept.pin_hash == person.pin_hash:  # nobody gave them another PIN meanwhile
            kept.pin_hash = _hasher().hash(pin)
            db.add(kept)


def _fits(pin_hash: str, pin: str) -> bool:
    try:
        return _hasher().verify(pin_hash, pin)
    except (VerifyMismatchError, InvalidHashError):
        return False


@lru_cache
def _hasher() -> PasswordHasher:
    return PasswordHasher()
