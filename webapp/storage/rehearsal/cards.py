"""Stand-ins for photos: a plain card with the words of what the photo would show."""

from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from webapp.core.events import Event
from webapp.messages import say
from webapp.storage import attachments


class Cards:
    """The cards of one history; those with the same words are one card, written once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.by_words: dict[str, attachments.Photo] = {}
        self.by_name: dict[str, attachments.Photo] = {}

    def name(self, words: str) -> str:
        """The SHA-256 of the card for these words."""
        if words not in self.by_words:
            photo = attachments.write_photo(self.folder, _card(words))
            self.by_words[words] = self.by_name[photo.sha256] = photo
        return self.by_words[words].sha256

    def photo(self, event: Event) -> attachments.Photo:
        return self.by_name[event.data["sha256"]]


def _card(words: str) -> Image.Image:
    card = Image.new("RGB", (960, 540), "#f6f3ea")
    pen = ImageDraw.Draw(card)
    pen.rectangle((24, 24, 936, 516), outline="#414d58", width=3)
    _centred(pen, 220, say("demo-photo"), 44)
    _centred(pen, 300, words, 26)
    return card


def _centred(pen: ImageDraw.ImageDraw, y: float, words: str, size: int) -> None:
    pen.text((480, y), words, fill="#14202b", anchor="mm", font=ImageFont.load_default(size))
