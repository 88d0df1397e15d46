"""What few readings can say of their own scatter (JCGM 100:2008, annex G): Student's t, and when a scatter is new.

With the scatter s told from n readings alone, 2·s/√n would hold the true value less often than 95 times in a hundred:
70 times for two readings. So s is widened until U = 2u keeps its word.
"""

from math import sqrt

from .instruments import COVERAGE

FROM_TABLE = (12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228)
"""The 97.5 % points of Student's t for 1 to 10 degrees of freedom (JCGM 100:2008, table G.2 has them to two)."""

Z975 = 1.959964
Z95 = 1.644854


def widening(freedom: int) -> float:
    """By how much a standard uncertainty with so many degrees of freedom is widened, so that twice it is a 95 % one."""
    if freedom <= len(FROM_TABLE):
        return FROM_TABLE[freedom - 1] / COVERAGE
    # The first terms of Student's t about the normal distribution (Abramowitz and Stegun, 26.7.5).
    z, z3 = Z975, Z975 * Z975 * Z975
    z5 = z3 * z * z
    first, second = (z3 + z) / 4, (5 * z5 + 16 * z3 + 3 * z) / 96
    third = (3 * z5 * z * z + 19 * z5 + 17 * z3 - 15 * z) / 384
    t = z + (first + (second + third / freedom) / freedom) / freedom
    return max(1.0, t / COVERAGE)


def exceeds(rms: float, u: float, freedom: int) -> bool:
    """Whether residuals are larger than the stated u explains: RMS² above the 95 % point of u²·χ²/ν.

    The point is Wilson and Hilferty's: good to 1 % from two degrees of freedom on.
    """
    spread = 2 / (9 * freedom)
    root = 1 - spread + Z95 * sqrt(spread)
    return rms * rms > u * u * root * root * root
