"""The order in which a photo is looked at: cheap looks that read most photos first, costly ones for the rest."""

from collections.abc import Iterator
from dataclasses import dataclass

from PIL import Image

from .decoders import Decode, Sight, Symbology, zbar, zxing

_GREY = 128


@dataclass(frozen=True)
class Look:
    """One decoder at one size (longest side; None is the photo as it is), the photo turned by an angle."""

    decoder: Decode
    side_px: int | None = None
    turn_deg: int = 0


CASCADE: tuple[Look, ...] = (
    Look(zxing, 1600),
    Look(zbar, 1600),
    Look(zxing),
    *(Look(decoder, 1600, turn_deg) for turn_deg in (75, 15, 45, 60, 30) for decoder in (zbar, zxing)),
    Look(zbar),
)
"""Turned copies are for long linear codes, which are readable only within about 9 degrees of upright or lying."""


def looks(picture: Image.Image, wanted: frozenset[Symbology]) -> Iterator[list[Sight]]:
    """Look at an upright grey picture in the cascade's order; each step is taken only when asked for."""
    for look in CASCADE:
        yield look.decoder(_turned(_reduced(picture, look.side_px), look.turn_deg), wanted)


def _reduced(picture: Image.Image, side_px: int | None) -> Image.Image:
    if side_px is None or max(picture.size) <= side_px:
        return picture
    part = side_px / max(picture.size)
    size = (max(1, round(picture.width * part)), max(1, round(picture.height * part)))
    return picture.resize(size, Image.Resampling.BOX)


def _turned(picture: Image.Image, turn_deg: int) -> Image.Image:
    if not turn_deg:
        return picture
    return picture.rotate(turn_deg, Image.Resampling.BILINEAR, expand=True, fillcolor=_GREY)
