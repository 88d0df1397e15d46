"""The way into a new shop: a code that stands in the server's terminal and in the data folder, and nowhere else.

Whoever reaches the network first must not become the manager; whoever may start the server, or read its folder, may.
"""

import hmac
import os
import secrets
from pathlib import Path

from sqlmodel import Session

from webapp.storage import people
from webapp.storage.codes import CHARACTERS

FILE = "first-code"
LENGTH = 10
MAY_SIGN = ("supervisor", "manager")


def is_new(db: Session) -> bool:
    """Whether there is nobody (any more) who could sign: then only the code lets anybody be added or changed."""
    return not any(one.active and one.pin_hash and one.role in MAY_SIGN for one in people.everyone(db))


def first_code(folder: Path) -> str:
    """The code of the shop in that data folder; made where there is none."""
    path = folder / FILE
    if not path.exists():
        new = folder / f".{FILE}-{secrets.token_hex(8)}"
        with os.fdopen(os.open(new, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w") as file:
            file.write("".join(secrets.choice(CHARACTERS) for _ in range(LENGTH)))
        try:
            os.link(new, path)
        except FileExistsError:
            pass  # another process was faster
        finally:
            new.unlink()
    return path.read_text().strip()


def is_first_code(folder: Path, given: str) -> bool:
    """Whether that is the code, as people type it."""
    typed = "".join(given.split()).replace("-", "").upper()
    return hmac.compare_digest(typed.encode(), first_code(folder).encode())


def use_up(folder: Path) -> None:
    """The code is good once."""
    (folder / FILE).unlink(missing_ok=True)
