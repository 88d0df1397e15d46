"""The vehicle identification number (ISO 3779): cleaned, checked, and read back in groups.

The check digit at position 9 (49 CFR 565.15) binds vehicles built for North America, whose first character is 1 to
5. Elsewhere the position means something else, and nothing is concluded from it.
"""

import re
from dataclasses import dataclass
from typing import Literal
from unicodedata import name as unicode_name

from .errors import BadInput, shown

LENGTH = 17
LETTERS = frozenset("ABCDEFGHJKLMNPRSTUVWXYZ0123456789")
NORTH_AMERICA = frozenset("12345")
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
WORTH = {character: int(character) for character in "0123456789"} | dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ", (1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9), strict=True)
)
CONFUSED_WITH = {"I": "1", "O": "0", "Q": "0"}
LOOK_ALIKES = dict(zip("АВСЕНКМОРТХУЅІЈ", "ABCEHKMOPTXYSIJ", strict=True)) | dict(
    zip("ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABEZHIKMNOPTYX", strict=True)
)
"""Cyrillic and Greek capitals that look like a Latin one; a keyboard left in the wrong layout types them unseen."""

CheckDigit = Literal["match", "mismatch", "not-applicable"]
Cleaning = Literal["line-end", "blanks", "lower-case", "code-39-wrapper", "leading-i"]


@dataclass(frozen=True)
class Vin:
    """A well-formed VIN, what was cleaned off the text it came in, and what its check digit says.

    ``valid`` is False only where the check digit binds and does not match: likely a misread, to be confirmed.
    """

    text: str
    cleaned: tuple[Cleaning, ...]
    check_digit: CheckDigit

    @property
    def valid(self) -> bool:
        return self.check_digit != "mismatch"


def read_vin(text: object, field: str = "text") -> Vin:
    """Return the VIN in a scanned or typed text.

    Raises BadInput (vin-empty, vin-length, vin-letter, vin-look-alike, vin-character), naming the position.
    """
    if not isinstance(text, str):
        raise BadInput("not-text", field, f"{field}={shown(text)} must be text")
    vin, cleaned = _clean(text)
    _check_characters(vin, field)
    return Vin(vin, cleaned, _check_digit_says(vin))


def groups(vin: str) -> tuple[str, str, str, str]:
    """Return the VIN as it is read back: maker (3), description (6), and the last eight as four and four."""
    return vin[:3], vin[3:9], vin[9:13], vin[13:]


def check_digit(vin: str) -> str:
    """Return the character that position 9 must hold for the other sixteen: 0 to 9, or X for ten."""
    rest = sum(WORTH[character] * weight for character, weight in zip(vin, WEIGHTS, strict=True)) % 11
    return "X" if rest == 10 else str(rest)


def check_pattern(pattern: str, field: str = "vin") -> None:
    """Refuse a VIN pattern that can match nothing: 17 characters, ? for any, or a beginning that ends in *."""
    body = pattern.removesuffix("*")
    fits = len(body) < LENGTH if pattern.endswith("*") else len(body) == LENGTH
    if not fits or not set(body) <= LETTERS | {"?"}:
        accepted = "be 17 characters with ? for any one, or a beginning that ends in *, without I, O and Q"
        raise BadInput("vin-pattern", field, f"{field}={shown(pattern)} must {accepted}")


def matches(pattern: str, vin: str) -> bool:
    """Say whether a well-formed VIN matches a pattern that check_pattern accepts."""
    body = pattern.removesuffix("*")
    if not pattern.endswith("*") and len(vin) != len(body):
        return False
    return len(vin) >= len(body) and all(want in ("?", has) for want, has in zip(body, vin, strict=False))


def _clean(text: str) -> tuple[str, tuple[Cleaning, ...]]:
    """Take off what a scanner, a form or a clipboard put on, and say what it was."""
    cleaned: list[Cleaning] = []

    def note(cleaning: Cleaning, before: str, after: str) -> str:
        if after != before:
            cleaned.append(cleaning)
        return after

    vin = note("line-end", text, text.strip("\r\n\t\0\ufeff\u200b"))
    vin = note("blanks", vin, re.sub(r"\s+", "", vin))
    vin = note("lower-case", vin, re.sub("[a-z]+", lambda found: found[0].upper(), vin))
    vin = note("code-39-wrapper", vin, vin.strip("*"))
    if len(vin) == LENGTH + 1:
        vin = note("leading-i", vin, vin.removeprefix("I"))
    return vin, tuple(cleaned)


def _check_characters(vin: str, field: str) -> None:
    if not vin:
        raise BadInput("vin-empty", field, f"{field} is empty: scan or type the 17 characters of the VIN")
    if len(vin) != LENGTH:
        message = f"{field}={shown(vin)} must have 17 characters, not {len(vin)}"
        raise BadInput("vin-length", field, message)
    for position, character in enumerate(vin, start=1):
        if character not in LETTERS:
            raise _wrong_character(vin, position, field)


def _wrong_character(vin: str, position: int, field: str) -> BadInput:
    character = vin[position - 1]
    at = f"{field}={shown(vin)}, position {position}: "
    if character in CONFUSED_WITH:
        message = f"{at}a VIN has no {character}; is it {CONFUSED_WITH[character]}?"
        return BadInput("vin-letter", field, message)
    twin = LOOK_ALIKES.get(character.upper())
    if twin:
        script = unicode_name(character.upper()).split()[0].capitalize()
        message = f"{at}{script} {character} looks like Latin {twin}; switch the keyboard to Latin letters"
        return BadInput("vin-look-alike", field, message)
    return BadInput("vin-character", field, f"{at}{shown(character)} must be a letter A to Z or a digit")


def _check_digit_says(vin: str) -> CheckDigit:
    if vin[0] not in NORTH_AMERICA:
        return "not-applicable"
    return "match" if vin[8] == check_digit(vin) else "mismatch"
