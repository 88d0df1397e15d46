"""New codes for labels: unlike every other in the shop, and easy to tell apart in print."""

import secrets
from collections.abc import Callable

from sqlmodel import Session, col, select

from webapp.core.errors import BadInput, Conflict, shown
from webapp.core.labels import CODE
from webapp.storage.tables import Item, Person

LETTERS = "BCDFGHJKMNPQRTVWX"
"""No I, L, O, S, Z, which are read as 1, 1, 0, 5, 2; and no vowel, so that chance spells no word."""

CHARACTERS = LETTERS + "346789"
LENGTH = 4
Pick = Callable[[str], str]


def new_code(db: Session, words: str, length: int = LENGTH, pick: Pick = secrets.choice) -> str:
    """Return a free code: the words' initials and random characters, as `CBL-4K7R` for `camera-board-left`."""
    initials = "".join(word[0].upper() for word in words.split("-") if word[:1].isalnum() and word.isascii())[:6]
    while True:
        # A letter among them, so that a code is never taken for a number.
        code = "-".join(filter(None, (initials, pick(LETTERS) + "".join(pick(CHARACTERS) for _ in range(length - 1)))))
        if not taken(db, code):
            return code


def taken(db: Session, code: str) -> bool:
    """Whether a label of that code is in use: things and badges share one set, since the same scanner reads both."""
    things = db.exec(select(Item.code).where(col(Item.code) == code)).first()
    return things is not None or db.exec(select(Person.code).where(col(Person.code) == code)).first() is not None


def free_code(db: Session, code: str) -> str:
    """Return the code that a person chose, in capitals. Raises BadInput (`label-code`) or Conflict (`code-taken`)."""
    capitals = code.strip().upper()
    if not CODE.fullmatch(capitals):
        accepted = "1 to 20 of A-Z, 0-9 and hyphens, without a hyphen at either end"
        raise BadInput("label-code", "code", f"code={shown(code)} must be {accepted}")
    if taken(db, capitals):
        raise Conflict("code-taken", "code", f"code={shown(capitals)} is on another label already; choose another one")
    return capitals
