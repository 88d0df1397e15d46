"""The text in a label's QR code, and printed beneath it: ``BAY.K.CODE.C``.

K says what the label is on, CODE which one it is, and C is an ISO/IEC 7064 MOD 37,36 check character over the
letters and digits of all that precedes it (dots and hyphens are outside its protection). At most 28 characters of
the QR alphanumeric set, so that it fits version 2-M, which holds 38.
"""

import re
from dataclasses import dataclass
from typing import Literal

from stdnum.iso7064 import mod_37_36

from .errors import BadInput, shown

LabelKind = Literal["target", "spot", "bay", "badge", "test-label"]
LETTER_OF: dict[LabelKind, str] = {"target": "T", "spot": "S", "bay": "B", "badge": "P", "test-label": "E"}
KIND_OF: dict[str, LabelKind] = {letter: kind for kind, letter in LETTER_OF.items()}

MAKER = "BAY."
LONGEST = 28
CODE = re.compile(r"[A-Z0-9](?:[A-Z0-9-]{0,18}[A-Z0-9])?")
TEXT = re.compile(rf"BAY\.(?P<letter>[A-Z])\.(?P<code>{CODE.pattern})\.(?P<check>[A-Z0-9])")


@dataclass(frozen=True)
class Label:
    """What a label is on, and its code: 1 to 20 of A-Z, 0-9 and inner hyphens."""

    kind: LabelKind
    code: str


def label_text(label: Label) -> str:
    """Return the text to encode and print. Raises BadInput (label-code, label-kind) for a label that cannot be."""
    if label.kind not in LETTER_OF:
        message = f"kind={shown(label.kind)} must be one of {', '.join(LETTER_OF)}"
        raise BadInput("label-kind", "kind", message)
    if not CODE.fullmatch(label.code):
        accepted = "1 to 20 of A-Z, 0-9 and hyphens, without a hyphen at either end"
        raise BadInput("label-code", "code", f"code={shown(label.code)} must be {accepted}")
    body = f"{MAKER}{LETTER_OF[label.kind]}.{label.code}"
    return f"{body}.{_check_character(body)}"


def read_label(text: object, field: str = "text") -> Label:
    """Return the label that a scanned or typed text stands for; case and surrounding blanks do not matter.

    Raises BadInput: label-empty (nothing came), label-not-ours (another maker's text, a URL, a VIN), label-too-long,
    label-garbled (ours by its beginning, but not of the right form), label-check-character (one character misread).
    """
    if not isinstance(text, str):
        raise BadInput("not-text", field, f"{field}={shown(text)} must be text")
    plain = re.sub("[a-z]+", lambda found: found[0].upper(), text.strip())
    if not plain:
        raise BadInput("label-empty", field, f"{field} is empty: scan the label again")
    if not plain.startswith(MAKER):
        raise BadInput("label-not-ours", field, f"{field}={shown(text)} must be a label of this shop ({MAKER}…)")
    if len(plain) > LONGEST:
        message = f"{field}={shown(text)} must be a label of this shop, at most {LONGEST} characters"
        raise BadInput("label-too-long", field, message)
    return _parsed(plain, field)


def read_badge(text: object, whose: str = "your own") -> str:
    """Return the code of a person's badge. Raises BadInput as `read_label` does, or `badge-other-kind`."""
    label = read_label(text, "badge")
    if label.kind != "badge":
        message = f"badge={label.code} is a {label.kind}'s label; scan {whose} badge"
        raise BadInput("badge-other-kind", "badge", message)
    return label.code


def _parsed(plain: str, field: str) -> Label:
    match = TEXT.fullmatch(plain)
    if match is None or match["letter"] not in KIND_OF:
        raise BadInput("label-garbled", field, f"{field}={shown(plain)} must read BAY.K.CODE.C: scan it again")
    body, _, check = plain.rpartition(".")
    if check != _check_character(body):
        message = f"{field}={shown(plain)} has the check character {check}, which does not fit: scan or type it again"
        raise BadInput("label-check-character", field, message)
    return Label(KIND_OF[match["letter"]], match["code"])


def _check_character(body: str) -> str:
    return mod_37_36.calc_check_digit(re.sub("[^A-Z0-9]", "", body))
