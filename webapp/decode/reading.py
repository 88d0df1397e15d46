"""What reading a photo comes to."""

from dataclasses import dataclass

from ..core.errors import BadInput, shown
from .decoders import Symbology


@dataclass(frozen=True)
class Found:
    """One code: its text exactly as encoded, and what it was encoded in."""

    text: str
    symbology: Symbology


@dataclass(frozen=True)
class Reading:
    """``found``: every distinct answer that came up. ``sure``: False asks for a person's eyes: show the text, have it
    compared with the print. ``others``: codes that are no answer to what was asked.
    """

    wanted: str
    found: tuple[Found, ...]
    sure: bool
    others: tuple[Found, ...] = ()

    def only(self, field: str = "photo") -> Found:
        """Return the one answer. Raises BadInput: photo-nothing-read, photo-other-code, photo-several-codes."""
        if len(self.found) == 1:
            return self.found[0]
        if self.found:
            texts = ", ".join(shown(found.text) for found in self.found)
            message = f"{field} shows more than one code ({texts}): take it again with only the one you mean in it"
            raise BadInput("photo-several-codes", field, message)
        if self.others:
            message = f"{field} shows {shown(self.others[0].text)}, which is not {self.wanted}"
            raise BadInput("photo-other-code", field, message)
        message = (
            f"no code could be read in {field}: go closer, until the code fills half of the picture, hold the phone "
            "straight in front of it and tilt it until no lamp is mirrored; or type the text printed beneath"
        )
        raise BadInput("photo-nothing-read", field, message)
