"""Smaller and turned copies of a grey picture, and two ways to clear one up before a decoder sees it."""

import numpy as np
from PIL import Image, ImageFilter
from scipy import ndimage

_GREY = 128
_SOFTENED_PX = 1.0
_LEVEL_PART = 20  # brightness and contrast are levelled over windows of a twentieth of the picture
_LEAST_DEVIATION = 4.0  # grey levels; below it there is nothing but noise to stretch
_LEVEL_DEVIATION = 50.0


def reduced(picture: Image.Image, side_px: int | None) -> Image.Image:
    """Return the picture with no side longer than `side_px`; each new pixel is the mean of those it replaces."""
    if side_px is None or max(picture.size) <= side_px:
        return picture
    part = side_px / max(picture.size)
    size = (max(1, round(picture.width * part)), max(1, round(picture.height * part)))
    return picture.resize(size, Image.Resampling.BOX)


def turned(picture: Image.Image, turn_deg: int) -> Image.Image:
    """Return the whole picture turned counter-clockwise, on a larger grey ground."""
    if not turn_deg:
        return picture
    return picture.rotate(turn_deg, Image.Resampling.BILINEAR, expand=True, fillcolor=_GREY)


def softened(picture: Image.Image) -> Image.Image:
    """Return the picture a little blurred, which takes noise and JPEG's blocks off an enlarged one."""
    return picture.filter(ImageFilter.GaussianBlur(_SOFTENED_PX))


def levelled(picture: Image.Image) -> Image.Image:
    """Return the picture with the same mean and contrast everywhere, which lifts a code out of shadow or glare."""
    grey = np.asarray(picture, dtype=np.float32)
    window = max(9, max(picture.size) // _LEVEL_PART)
    mean = ndimage.uniform_filter(grey, window)
    spread = np.sqrt(np.maximum(ndimage.uniform_filter(grey * grey, window) - mean * mean, 0))
    level = _GREY + (grey - mean) / (spread + _LEAST_DEVIATION) * _LEVEL_DEVIATION
    return Image.fromarray(np.clip(level, 0, 255).astype(np.uint8))


def levelled_then_doubled(picture: Image.Image) -> Image.Image:
    """Return the picture levelled and twice as large: the other way round reads less, and takes longer."""
    return levelled(picture).resize((picture.width * 2, picture.height * 2), Image.Resampling.BICUBIC)
