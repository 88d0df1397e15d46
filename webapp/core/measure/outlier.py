"""The odd one among repeated readings of one thing: Grubbs' test (ISO 5725-2:2019, 7.3.4) at the 1 % level.

It assumes that the others are normally scattered about one value, and looks for one odd reading, not for two. Readings
are rounded to what a scale shows, so that two of three are often equal and the third looks far away; therefore the odd
one must also lie farther from the mean of the others than the instrument's own U explains.
"""

from collections.abc import Sequence
from math import fsum, sqrt

from .instruments import COVERAGE, repeated

FEWEST = 3
"""Of two readings that differ, nobody can say which is the odd one."""
CRITICAL = (
    1.1547, 1.4963, 1.7637, 1.9728, 2.1391, 2.2744, 2.3868, 2.4821, 2.5641, 2.6357, 2.6990, 2.7554, 2.8061, 2.8521,
    2.8940, 2.9325, 2.9680, 3.0008, 3.0314, 3.0599, 3.0866, 3.1117, 3.1353, 3.1577, 3.1788, 3.1989, 3.2179, 3.2361,
)  # fmt: skip
"""Two-sided 1 % points for 3 to 30 readings."""


def apart(difference: float, u_instrument: float) -> bool:
    """Whether two readings (or one and the mean of others) differ by more than the instrument's own U explains."""
    return abs(difference) > COVERAGE * sqrt(2) * u_instrument


def odd_one(readings: Sequence[float], u_instrument: float) -> int | None:
    """Return the place of the one reading that does not go with the others, or None where no single one does not."""
    count = len(readings)
    if not FEWEST <= count < FEWEST + len(CRITICAL):
        return None
    found = repeated(readings)
    away = [abs(reading - found.mean) for reading in readings]
    place = away.index(max(away))
    if away[place] <= CRITICAL[count - FEWEST] * found.s:
        return None
    others = (fsum(readings) - readings[place]) / (count - 1)
    return place if apart(readings[place] - others, u_instrument) else None
