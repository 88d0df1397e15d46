"""A QR code as one SVG path, sharp at any size."""

from itertools import groupby

from qrcode import QRCode
from qrcode.constants import ERROR_CORRECT_M

QUIET_MODULES = 4
"""The blank border that the standard asks for; readers need it, so it is part of the label."""


def qr_path(text: str) -> tuple[str, int]:
    """Return the path of the dark modules, one unit a module, and the width with the quiet zone on both sides.

    Error correction level M, and the smallest version that holds the text: upper-case letters, digits and `.-` take the
    code's alphanumeric set, in which 20 characters fit version 1 and 38 fit version 2.
    """
    code = QRCode(error_correction=ERROR_CORRECT_M, border=QUIET_MODULES)
    code.add_data(text, optimize=0)
    code.make(fit=True)
    rows = code.get_matrix()
    return "".join(_runs(y, row) for y, row in enumerate(rows)), len(rows)


def _runs(y: int, row: list[bool]) -> str:
    # A run of modules is one box: box beside box would show hair lines between them on some screens and printers.
    path, x = [], 0
    for dark, run in groupby(row):
        width = len(list(run))
        if dark:
            path.append(f"M{x} {y}h{width}v1h-{width}z")
        x += width
    return "".join(path)
