"""A drawing as it is drawn in another language, found by the drawing as it is in English.

Where a label stands hangs on how long it is, and where it needs more lines all the rest moves: so lines come with the
letters where they differ. What only some jobs have, the places of their targets on the floor, stays where it is.
"""

import re
from collections.abc import Mapping
from html import escape
from zlib import crc32

from .drawing.layers import Layers

LETTERING = '<g class="lettering"'
SIZE = re.compile('viewBox="[^"]*"(?: data-frame="[^"]*")?')
OF_JOB = re.compile('<g data-of="job".*?</g>')


def parts_of(here: Layers, there: Layers) -> dict[str, str]:
    """What is looked up for a drawing: by what names it in English, its letters, with its size and lines if need be.

    Then each sentence of its text alternative.
    """
    (size, lines, letters), (size_there, lines_there, letters_there) = _base(here), _base(there)
    same = (size, lines) == (size_there, lines_there)
    made = {_name(lines, letters): letters_there if same else size_there + lines_there + letters_there}
    for one, other in zip(here["alt"], there["alt"], strict=True):
        made[_text(one)] = _text(other)
    return made


def redrawn(drawing: dict[str, str], drawn: Mapping[str, str]) -> dict[str, str]:
    """The drawing as `drawn` has it, which `parts_of` made; in English what it does not have."""
    before, letters, after = drawing["svg"].partition(LETTERING)
    at = before.index('">') + 2
    head, lines = before[:at], before[at:]
    alt = _said(drawing["alt"], drawn)
    head = head.replace(escape(drawing["alt"]), escape(alt), 1)
    of_job = "".join(OF_JOB.findall(lines))
    lines = OF_JOB.sub("", lines)
    found = drawn.get(_name(lines, letters + after), letters + after)
    if not found.startswith(LETTERING):
        size = SIZE.match(found)
        head = SIZE.sub(size[0] if size else "", head, count=1)
        rest, letters, after = found[size.end() if size else 0 :].partition(LETTERING)
        return {"svg": head + rest + of_job + letters + after, "alt": alt}
    return {"svg": head + lines + of_job + found, "alt": alt}


def _base(layers: Layers) -> tuple[str, str, str]:
    """Size, lines and letters of what every job has of a drawing."""
    begin, lines, letters = (piece for piece in layers["svg"] if isinstance(piece, str))
    size = SIZE.search(begin)
    return size[0] if size else "", lines.removeprefix('">'), letters


def _name(lines: str, letters: str) -> str:
    """Two drawings may have the same letters round other lines."""
    return f"{crc32(lines.encode('ascii', 'replace')):x}{letters}"


def _text(piece: str | dict[str, str]) -> str:
    return piece if isinstance(piece, str) else piece["text"]


def _said(alt: str, drawn: Mapping[str, str]) -> str:
    """Sentence by sentence: which of them stand there hangs on the job."""
    made, rest = "", alt
    while rest:
        piece = max((one for one in drawn if rest.startswith(one)), key=len, default="")
        if not piece:
            return alt
        made, rest = made + drawn[piece], rest[len(piece) :]
    return made
