"""Where in a photo a code may be: the patches with the most contrast, cut out upright and enlarged.

A code is dense with edges. Where nearly all edges of a patch run one way they are bars, and the patch is turned so
that they stand upright. The edges are summed in blocks as a structure tensor, from which both answers come: its trace
is the contrast, its principal axis the way across the bars.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image
from scipy import ndimage

from .copies import reduced

Blocks = npt.NDArray[np.float32]

_SEARCHED_SIDE_PX = 1200
_BLOCK_PX = 8
_GROWN_BLOCKS = 2  # gaps up to twice this are closed, as between a code and its text
_LEAST_OVER_MEDIAN = 4.0
_LEAST_OF_STRONGEST = 0.15
_LEAST_ONE_WAY = 0.35  # 0: edges run all ways alike, 1: all run one way
_MARGIN = 0.12
_MARGIN_PX = 20
_LONGEST_CUT_PX = 2400
_GREY = 128


@dataclass(frozen=True)
class Patch:
    """A rectangle of a photo, turned counter-clockwise on the screen's axes (x right, y down) by ``turn_rad``."""

    middle_px: tuple[float, float]
    width_px: float
    height_px: float
    turn_rad: float


def patches(picture: Image.Image, most: int = 3) -> tuple[Patch, ...]:
    """Return up to `most` patches of a grey picture, the one with the most contrast first."""
    small = reduced(picture, _SEARCHED_SIDE_PX)
    if min(small.size) < 3 * _BLOCK_PX:
        return ()
    across, down, mixed = _edges(np.asarray(small, dtype=np.float32))
    contrast = across + down
    usual = float(np.median(contrast))
    enough = max(_LEAST_OVER_MEDIAN * usual, _LEAST_OF_STRONGEST * float(np.percentile(contrast, 99.7)))
    labels, count = ndimage.label(ndimage.binary_closing(contrast > enough, iterations=_GROWN_BLOCKS))
    strength = ndimage.sum_labels(contrast - usual, labels, np.arange(1, count + 1))
    scale = picture.width / small.width * _BLOCK_PX
    return tuple(
        _patch(np.argwhere(labels == number + 1), across, down, mixed, scale) for number in np.argsort(-strength)[:most]
    )


def cut(picture: Image.Image, patch: Patch, zoom: float) -> Image.Image:
    """Return the patch out of a grey picture, turned upright, `zoom` times as large, at most _LONGEST_CUT_PX long."""
    zoom = min(zoom, _LONGEST_CUT_PX / max(patch.width_px, patch.height_px))
    if zoom < 1:
        return reduced(cut(picture, patch, 1), round(max(patch.width_px, patch.height_px) * zoom))
    size = max(1, round(patch.width_px * zoom)), max(1, round(patch.height_px * zoom))
    cos, sin = math.cos(patch.turn_rad) / zoom, math.sin(patch.turn_rad) / zoom
    left = patch.middle_px[0] - cos * size[0] / 2 + sin * size[1] / 2
    top = patch.middle_px[1] - sin * size[0] / 2 - cos * size[1] / 2
    matrix = (cos, -sin, left, sin, cos, top)
    return picture.transform(size, Image.Transform.AFFINE, matrix, Image.Resampling.BICUBIC, fillcolor=_GREY)


def _edges(grey: npt.NDArray[np.float32]) -> tuple[Blocks, Blocks, Blocks]:
    """Return the structure tensor (xx, yy, xy) by block, relative to the block's brightness."""
    x, y = np.zeros_like(grey), np.zeros_like(grey)
    x[:, 1:-1] = grey[:, 2:] - grey[:, :-2]
    y[1:-1] = grey[2:] - grey[:-2]
    bright = (_by_block(grey) + 8) ** 2
    across, down, mixed = (ndimage.uniform_filter(_by_block(part) / bright, 3) for part in (x * x, y * y, x * y))
    return across, down, mixed


def _by_block(values: npt.NDArray[np.float32]) -> Blocks:
    rows, columns = (side // _BLOCK_PX for side in values.shape)
    whole = values[: rows * _BLOCK_PX, : columns * _BLOCK_PX]
    means: Blocks = whole.reshape(rows, _BLOCK_PX, columns, _BLOCK_PX).mean(axis=(1, 3))
    return means


def _patch(blocks: npt.NDArray[np.intp], across: Blocks, down: Blocks, mixed: Blocks, scale: float) -> Patch:
    """Return the rectangle round the blocks (row, column), turned with their bars if they have any."""
    rows, columns = blocks.T
    xx, yy, xy = (float(part[rows, columns].sum()) for part in (across, down, mixed))
    one_way = math.hypot(xx - yy, 2 * xy) / (xx + yy) > _LEAST_ONE_WAY
    turn = 0.5 * math.atan2(2 * xy, xx - yy) if one_way else 0.0
    cos, sin = math.cos(turn), math.sin(turn)
    along, aside = cos * columns + sin * rows, cos * rows - sin * columns
    width, height = (float(np.ptp(part)) + 1 for part in (along, aside))
    middle = (along.max() + along.min()) / 2, (aside.max() + aside.min()) / 2
    return Patch(
        middle_px=(
            float(cos * middle[0] - sin * middle[1] + 0.5) * scale,
            float(sin * middle[0] + cos * middle[1] + 0.5) * scale,
        ),
        width_px=width * scale * (1 + 2 * _MARGIN) + 2 * _MARGIN_PX,
        height_px=height * scale * (1 + 2 * _MARGIN) + 2 * _MARGIN_PX,
        turn_rad=turn,
    )
