"""Photos in, texts out: reads the codes on labels and vehicles in a photo, and says how far to believe them."""

import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

from ..core.errors import BadInput, BaybookError, shown
from .accept import ANY, LABEL, VIN, Accept
from .cascade import looks
from .evidence import Evidence
from .photo import LARGEST_BYTES, open_in_colour, open_photo
from .reading import Found, Reading

__all__ = [
    "ANY",
    "LABEL",
    "VIN",
    "Accept",
    "Found",
    "Reading",
    "decode_file",
    "decode_lines",
    "decode_photo",
    "open_in_colour",
]

BUDGET_S = 4.0
UNHURRIED_BUDGET_S = 10.0
"""For files, where nobody stands waiting. All looks together take about 2 s of one processor core."""


def decode_photo(
    data: bytes,
    accept: Accept,
    field: str = "photo",
    budget_s: float = BUDGET_S,
    clock: Callable[[], float] = time.monotonic,
) -> Reading:
    """Return what a photo (a file's bytes) answers to what is asked; after `budget_s` no further look is begun.

    Raises BadInput for bytes that are no usable photo (see open_photo). That nothing was read is no error here:
    ``Reading.only()`` raises it.
    """
    deadline = clock() + budget_s
    picture = open_photo(data, field)
    evidence = Evidence(accept)
    for look in looks(picture, accept.symbologies):
        evidence = evidence.after(look)
        if evidence.settled() or clock() > deadline:
            break
    return evidence.reading()


def decode_file(path: Path, accept: Accept, budget_s: float = UNHURRIED_BUDGET_S) -> Reading:
    """Return what the photo in a file answers. Raises BadInput as decode_photo, and file-unreadable."""
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)  # enough to see that it is too large
    except OSError as trouble:
        message = f"file={shown(str(path))} cannot be read: {trouble.strerror}"
        raise BadInput("file-unreadable", "file", message) from trouble
    return decode_photo(data, accept, "file", budget_s)


def decode_lines(paths: Iterable[Path]) -> Iterator[dict[str, Any]]:
    """Yield for each file ``{"file", "found": [{"text", "symbology"}]}``, or ``{"file", "error": {...}}``."""
    for path in paths:
        try:
            found = decode_file(path, ANY).found
        except BaybookError as error:
            yield {"file": str(path)} | error.as_dict()
        else:
            yield {"file": str(path), "found": [asdict(one) for one in found]}
