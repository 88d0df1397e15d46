"""What a file may say and still be wrong: each module holds one rule, or one family of rules, over all the files.

A check takes the files as they stand, also where their shape is not right, and stays silent about what it cannot tell.
"""

from collections.abc import Callable, Iterator

from webapp.library.finding import Finding
from webapp.library.sources import Sources

from . import (
    causes,
    conditions,
    figures,
    fragments,
    kinds,
    limits,
    names,
    order,
    references,
    safety,
    squared,
    vehicles,
    words,
)

Check = Callable[[Sources], Iterator[Finding]]

CHECKS: tuple[Check, ...] = (
    names.check,
    references.check,
    fragments.check,
    order.check,
    kinds.check,
    limits.check,
    figures.check,
    squared.check,
    conditions.check,
    causes.check,
    vehicles.check,
    safety.check,
    words.check,
)
OF_ONE_VEHICLE: tuple[Check, ...] = (names.check, references.check, limits.check, figures.check, squared.check)
"""Those of them that look at a vehicle by itself, with the procedures that it is worked by."""
AMONG_VEHICLES: tuple[Check, ...] = (conditions.check, vehicles.check)
"""Those that look at it beside the others."""
