"""A form with a file, as a browser sends it; made by hand, since the test client leaves a large one's copy open."""

import io
import random
import struct
from collections.abc import Mapping
from typing import TypedDict

import pillow_heif
from PIL import Image

from tests.decode.cards import draw_card

BOUNDARY = "--------baybook-test"


class Sent(TypedDict):
    data: bytes
    content_type: str


def form_with(fields: Mapping[str, str], photo: bytes | None = None, filename: str = "photo.jpg") -> Sent:
    """What `client.post(path, **form_with(...))` sends: the fields, and the file in the field `photo`."""
    parts = [f'name="{name}"\r\n\r\n{value}'.encode() for name, value in fields.items()]
    if photo is not None:
        parts.append(f'name="photo"; filename="{filename}"\r\nContent-Type: image/jpeg\r\n\r\n'.encode() + photo)
    body = b"".join(f"--{BOUNDARY}\r\nContent-Disposition: form-data; ".encode() + part + b"\r\n" for part in parts)
    return {
        "data": body + f"--{BOUNDARY}--\r\n".encode(),
        "content_type": f"multipart/form-data; boundary={BOUNDARY}",
    }


def code_photo(text: str, symbology: str = "qr", kind: str = "PNG") -> bytes:
    """A photo of one printed code, straight and sharp."""
    pillow_heif.register_heif_opener()
    card, _columns = draw_card(text, symbology, 6, random.Random(1))
    return stored(card.convert("RGB"), kind)


def stored(picture: Image.Image, kind: str = "JPEG") -> bytes:
    out = io.BytesIO()
    picture.save(out, kind)
    return out.getvalue()


def bomb() -> bytes:
    """A GIF of a few bytes that would unfold to four thousand million pixels."""
    size = struct.pack("<HH", 65535, 65535)
    frame = b",\0\0\0\0" + size + b"\0\x02\x02\x4c\x01\0"
    return b"GIF89a" + size + b"\0\0\0" + frame + b";"


# What is sent as a photo and is none, and what the page says of it.
NO_PHOTOS = {
    "no image": (b"%PDF-1.7 an invoice", "photo is not an image Baybook can open"),
    "empty": (b"", "photo is empty (0 bytes)"),
    "40 MB": (b"\xff\xd8" + bytes(40_000_000), "photo is larger than 25 MB, the most a photo may have"),
    "bomb": (bomb(), "must have at most 80 million"),
    "cut short": (stored(Image.effect_noise((400, 300), 80), "PNG")[:4000], "photo is damaged"),
}
