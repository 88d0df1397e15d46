"""What the phone's camera sees: a film in a file that the browser takes for a camera, with real labels in it."""

from pathlib import Path

import qrcode
from PIL import Image

SIZE = (1280, 720)
FLAGS = ("--use-fake-device-for-media-stream",)


def flags(path: Path) -> list[str]:
    """The flags that make this file the camera. It is read anew whenever the camera is opened."""
    return [*FLAGS, f"--use-file-for-fake-video-capture={path}"]


def label(text: str, side_px: int = 360) -> Image.Image:
    return qrcode.make(text).get_image().convert("RGB").resize((side_px, side_px))


def view(*texts: str, ground: str = "#9aa0a0") -> Image.Image:
    """A picture with these labels side by side."""
    picture = Image.new("RGB", SIZE, ground)
    for number, text in enumerate(texts):
        pasted = label(text)
        left = SIZE[0] * (number + 1) // (len(texts) + 1) - pasted.width // 2
        picture.paste(pasted, (left, (SIZE[1] - pasted.height) // 2))
    return picture


def film(path: Path, *pictures: Image.Image) -> None:
    """Write the pictures, one after the other and again from the beginning, as a film.

    In one go: a camera that is still open goes on with the film it had.
    """
    fresh = path.with_suffix(".new")
    with fresh.open("wb") as file:
        for picture in pictures:
            picture.save(file, "JPEG", quality=90)
    fresh.replace(path)
