"""Invented labels and VINs to print on the cards."""

import random

from webapp.core.labels import KIND_OF, Label, label_text
from webapp.core.vin import LETTERS, NORTH_AMERICA, check_digit

_KINDS = tuple(KIND_OF.values())
_VIN_LETTERS = sorted(LETTERS)
_ELSEWHERE = [letter for letter in _VIN_LETTERS if letter not in NORTH_AMERICA]


def some_label(chance: random.Random) -> str:
    """Return a label's text of 11 to 22 characters."""
    code = "".join(chance.choices("ABCDEFGHJKLMNPRSTUVWXYZ0123456789", k=chance.randint(3, 14)))
    cut = chance.randint(1, len(code) - 1)
    return label_text(Label(chance.choice(_KINDS), f"{code[:cut]}-{code[cut:]}" if chance.random() < 0.5 else code))


def some_vin(chance: random.Random) -> str:
    """Return a VIN: half of them with a check digit that binds and fits, the others from where it means nothing."""
    vin = "".join(chance.choices(_VIN_LETTERS, k=17))
    if chance.random() < 0.5:
        vin = chance.choice(sorted(NORTH_AMERICA)) + vin[1:]
        return vin[:8] + check_digit(vin) + vin[9:]
    return chance.choice(_ELSEWHERE) + vin[1:]
