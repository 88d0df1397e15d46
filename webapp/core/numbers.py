"""How a number is rounded and written, alike in Python and in JavaScript: one shop, one message, whoever answers."""

from math import floor


def number(value: float) -> str:
    """Write a number as its shortest decimal: 1506.5, 1e-09, and 91 for 91.0, since JSON tells no such two apart."""
    try:
        text = repr(float(value)).removesuffix(".0")
    except OverflowError:  # a whole number beyond the reach of a float
        return str(value)
    return "0" if text == "-0" else text


def rounded(value: float, decimals: int) -> float:
    """Round to so many decimals, halves up, in steps that every machine rounds alike."""
    scale = float(f"1e{decimals}")
    return floor(value * scale + 0.5) / scale
