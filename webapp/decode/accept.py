"""What a person may be asking a photo for, and what can pass for an answer."""

from collections.abc import Callable
from dataclasses import dataclass

from ..core.errors import BadInput
from ..core.labels import label_text, read_label
from ..core.vin import read_vin
from .decoders import SYMBOLOGIES, Symbology


@dataclass(frozen=True)
class Accept:
    """One kind of answer.

    ``wanted``: what is asked for, in words for a message. ``value``: the plain form of a decoded text, None where it
    cannot be such an answer. ``proves_itself``: whether a value holds a check character that fits, so that one look
    in a code without checksum is enough. ``several``: whether a photo may hold more than one answer.
    """

    name: str
    wanted: str
    value: Callable[[str], str | None]
    proves_itself: Callable[[str], bool]
    symbologies: frozenset[Symbology] = frozenset(SYMBOLOGIES)
    several: bool = False


def _label(text: str) -> str | None:
    try:
        return label_text(read_label(text))
    except BadInput:
        return None


def _vin(text: str) -> str | None:
    try:
        return read_vin(text).text
    except BadInput:
        return None


def _vin_proves_itself(vin: str) -> bool:
    return read_vin(vin).check_digit == "match"


def _proves_itself(text: str) -> bool:
    vin = _vin(text)
    return _label(text) is not None or (vin is not None and _vin_proves_itself(vin))


def _label_proves_itself(label: str) -> bool:
    return label == _label(label)  # none is read without its check character


LABEL = Accept("label", "one of the shop's labels", _label, _label_proves_itself)
VIN = Accept("vin", "a VIN", _vin, _vin_proves_itself)
ANY = Accept("any", "a code", lambda text: text or None, _proves_itself, several=True)
