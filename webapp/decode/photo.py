"""From a photo's bytes to an upright grey picture, without trusting the bytes.

What a stranger's file could cost is bounded before anything is decoded: its bytes, its pixels (read from the header
alone) and, for a progressive JPEG, its passes over the picture.
"""

import io
from collections.abc import Callable

import numpy as np
from PIL import Image

from ..core.errors import BadInput

LARGEST_BYTES = 25_000_000
LARGEST_PIXELS = 80_000_000
LONGEST_SIDE_PX = 4096
"""Larger photos are reduced to this: the finest code worth reading fills a 12 megapixel photo well enough."""

_FORMATS = ("JPEG", "PNG", "WEBP", "AVIF", "GIF", "BMP")
_ACCEPTED = "a photo as JPEG, PNG, WebP, AVIF, HEIC, GIF or BMP"
_HEIF_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"})
_MOST_JPEG_SCANS = 100
_START_OF_SCAN = b"\xff\xda"
_ORIENTATION_TAG = 0x0112
_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def open_photo(data: bytes, field: str = "photo") -> Image.Image:
    """Return the photo in grey (mode L), upright, no side longer than LONGEST_SIDE_PX; of an animation the first frame.

    Raises BadInput: photo-empty, photo-too-large, photo-not-an-image, photo-needs-heif, photo-too-many-pixels,
    photo-damaged.
    """
    return _checked(data, field, _grey)


def open_in_colour(data: bytes, field: str = "photo") -> Image.Image:
    """Return the photo as it was taken (mode RGB), to be kept; raises as open_photo does."""
    return _checked(data, field, _in_colour)


def _checked(data: bytes, field: str, decoded: Callable[[Image.Image], Image.Image]) -> Image.Image:
    _check_bytes(data, field)
    picture = _opened(data, field)
    width, height = picture.size
    if width * height > LARGEST_PIXELS:
        raise _too_many_pixels(field, f"has {width} x {height} pixels")
    try:
        return decoded(picture)
    except Exception as trouble:  # a format's parser raises what it stumbles over: OSError, SyntaxError, zlib.error
        message = f"{field} is damaged ({_reason(trouble)}): perhaps it was not sent whole; send it or take it again"
        raise BadInput("photo-damaged", field, message) from trouble


def _check_bytes(data: bytes, field: str) -> None:
    if not data:
        raise BadInput("photo-empty", field, f"{field} is empty (0 bytes): take or choose the photo again")
    if len(data) > LARGEST_BYTES:
        most = f"{LARGEST_BYTES // 1_000_000} MB"
        message = f"{field} is larger than {most}, the most a photo may have: take it at a lower resolution"
        raise BadInput("photo-too-large", field, message)
    if data.startswith(b"\xff\xd8") and data.count(_START_OF_SCAN) > _MOST_JPEG_SCANS:
        message = f"{field} is no photo that a camera makes (over {_MOST_JPEG_SCANS} scans): take it again"
        raise BadInput("photo-damaged", field, message)


def _opened(data: bytes, field: str) -> Image.Image:
    """Read the header only. Pillow's own pixel limit comes as an error or, at half of that, as a warning."""
    Image.init()  # Pillow knows only five formats until it is asked to look for all of them
    formats = (*_FORMATS, "HEIF") if _heif_is_ready() else _FORMATS
    try:
        return Image.open(io.BytesIO(data), formats=formats)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as trouble:
        raise _too_many_pixels(field, "has too many pixels") from trouble
    except Exception as trouble:
        if "HEIF" not in formats and _is_heif(data):
            message = (
                f"{field} is a HEIC photo, which this server cannot open: set the phone's camera to 'most compatible' "
                "(JPEG), or install the Python package pillow-heif on the server"
            )
            raise BadInput("photo-needs-heif", field, message) from trouble
        message = f"{field} is not an image Baybook can open: send {_ACCEPTED}"
        raise BadInput("photo-not-an-image", field, message) from trouble


def _heif_is_ready() -> bool:
    try:
        import pillow_heif
    except ImportError:
        return False
    pillow_heif.register_heif_opener()
    return True


def _is_heif(data: bytes) -> bool:
    """Say whether the ISO base media file's type box names a HEIF brand."""
    return data[4:8] == b"ftyp" and data[8:12] in _HEIF_BRANDS


def _too_many_pixels(field: str, what: str) -> BadInput:
    most = f"{LARGEST_PIXELS // 1_000_000} million"
    message = f"{field} {what} and must have at most {most}: take it at a lower resolution"
    return BadInput("photo-too-many-pixels", field, message)


def _grey(picture: Image.Image) -> Image.Image:
    fitted = _fitted(picture.size)
    picture.draft("L", fitted)  # a JPEG is then decoded straight to grey, and a huge one at half or a quarter size
    turned = _UPRIGHT.get(_orientation(picture))
    picture.load()
    grey = _without_colour(picture)
    if grey.size != fitted:
        grey = grey.resize(fitted, Image.Resampling.BOX)
    return grey if turned is None else grey.transpose(turned)


def _in_colour(picture: Image.Image) -> Image.Image:
    picture.draft("RGB", _fitted(picture.size))
    turned = _UPRIGHT.get(_orientation(picture))
    colour = picture.convert("RGB")
    return colour if turned is None else colour.transpose(turned)


def _fitted(size: tuple[int, int]) -> tuple[int, int]:
    shrink = min(1.0, LONGEST_SIDE_PX / max(size))
    return max(1, round(size[0] * shrink)), max(1, round(size[1] * shrink))


def _orientation(picture: Image.Image) -> int:
    """Return the EXIF orientation, 1 (upright) where the note is missing or garbled: that alone spoils no photo."""
    try:
        return int(picture.getexif().get(_ORIENTATION_TAG, 1))
    except Exception:
        return 1


def _without_colour(picture: Image.Image) -> Image.Image:
    if picture.has_transparency_data:  # seen as on white paper, or black bars on nothing would vanish
        paper = Image.new("RGBA", picture.size, "white")
        return Image.alpha_composite(paper, picture.convert("RGBA")).convert("L")
    if picture.mode.startswith("I"):  # 16 bits a pixel, which Pillow would cut off at 255 instead of scaling
        return Image.fromarray((np.asarray(picture).clip(0, 0xFFFF) >> 8).astype(np.uint8))
    return picture.convert("L")


def _reason(trouble: Exception) -> str:
    return str(trouble).splitlines()[0] if str(trouble) else type(trouble).__name__
