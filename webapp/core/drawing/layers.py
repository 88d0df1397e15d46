"""A drawing in pieces: text for every job, and text for the jobs alone that have a certain calibration."""

from collections.abc import Collection

Pieces = list[str | dict[str, str]]
"""A piece is text, or ``{"of": calibration, "text": text}``."""

Layers = dict[str, Pieces]
"""``{"svg": pieces, "alt": pieces}``."""


def seen_for(pieces: Pieces, calibrations: Collection[str] | None) -> str:
    """The whole text for a job with these calibrations; None for all."""
    return "".join(
        one if isinstance(one, str) else one["text"] if calibrations is None or one["of"] in calibrations else ""
        for one in pieces
    )
