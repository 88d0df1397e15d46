"""A seeded generator of label photos as a phone takes them: turned, tilted, blurred, dark, with glare, noise and JPEG.

The same seed gives the same bytes with the same versions of Pillow and numpy. The rates measured on these photos
compare decoders with each other; they are no rates of the field.
"""

import io
import math
import random
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from PIL import Image, ImageDraw, ImageFilter

from tests.decode.cards import draw_card
from tests.decode.flaws import GRADES, Flaws, flaws_of
from tests.decode.texts import some_label, some_vin
from webapp.decode.decoders import SYMBOLOGIES

Grey = npt.NDArray[np.float32]

_SIZES_PX = ((1280, 960), (1920, 1440), (4032, 3024))
_OVERSAMPLING = 2
_EXIF_ORIENTATION_TAG = 0x0112
_STORED_TURNED = {1: None, 3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}


@dataclass(frozen=True)
class Photo:
    """One photo and the truth about it."""

    data: bytes
    text: str
    symbology: str
    kind: str  # "label" or "vin"
    grade: str
    name: str  # grade, setting, seed and number: enough to make it again


def series(n: int, seed: int, setting: str = "mixed") -> Iterator[Photo]:
    """Yield `n` photos, the grades and symbologies in equal parts, one third of them of 12 megapixels."""
    for number in range(n):
        yield photo(number, seed, GRADES[number % 3], setting, SYMBOLOGIES[number // 3 % 4])


def photo(number: int, seed: int, grade: str, setting: str, symbology: str) -> Photo:
    """Make one photo; the same arguments give the same photo."""
    chance = random.Random(f"{seed} {number} {grade} {setting} {symbology}")
    kind = "vin" if chance.random() < (0.5 if symbology.startswith("code") else 0.25) else "label"
    text = some_vin(chance) if kind == "vin" else some_label(chance)
    flaws = flaws_of(grade, setting, chance)
    if symbology in ("qr", "data-matrix"):
        flaws = flaws.closer(chance.choice((1, 1, 1.5, 2.5)))
    picture = _take(text, symbology, flaws, chance)
    name = f"{grade}-{setting}-{seed}-{number}"
    return Photo(_as_jpeg(picture, flaws, chance), text, symbology, kind, grade, name)


def _take(text: str, symbology: str, flaws: Flaws, chance: random.Random) -> Image.Image:
    """Return the grey picture of the card in front of a workshop's background, with all flaws but the JPEG's."""
    card, columns = draw_card(text, symbology, max(3, math.ceil(flaws.module_px * _OVERSAMPLING)), chance)
    card_px = max(3, math.ceil(flaws.module_px * _OVERSAMPLING))
    widest = max(card.size) / card_px * flaws.module_px
    size = chance.choice([s for s in _SIZES_PX if s[1] > widest] or [_SIZES_PX[-1]])
    _cover(card, flaws, chance)
    scene = _background(size, chance)
    middle = _place(scene, card, card_px, flaws, chance)
    code_px = columns * flaws.module_px
    lit = np.asarray(scene, dtype=np.float32) * _light(size, flaws, chance)
    lit += _glare(size, middle, code_px, flaws.glare, chance)
    return Image.fromarray(np.clip(lit + _noise(size, flaws.noise, chance), 0, 255).astype(np.uint8))


def _cover(card: Image.Image, flaws: Flaws, chance: random.Random) -> None:
    side = flaws.cover * min(card.size)
    if side >= 1:
        x, y = chance.uniform(0.1, 0.9) * card.width, chance.uniform(0.1, 0.7) * card.height
        ImageDraw.Draw(card).ellipse((x - side, y - side, x + side, y + side), fill=chance.choice((70, 120, 190)))


def _background(size: tuple[int, int], chance: random.Random) -> Image.Image:
    """Return blotches with some hard edges, bars and lines in front: things a decoder may take for a code."""
    numbers = np.random.default_rng(chance.getrandbits(32))
    scene = Image.fromarray(numbers.integers(60, 200, (9, 12), dtype=np.uint8)).resize(size, Image.Resampling.BICUBIC)
    draw = ImageDraw.Draw(scene)
    for _ in range(chance.randint(4, 14)):
        x, y = chance.random() * size[0], chance.random() * size[1]
        w, h = (chance.random() * side * 0.3 for side in size)
        if chance.random() < 0.5:
            draw.rectangle((x, y, x + w, y + h), fill=chance.randint(20, 235))
        else:
            draw.line((x, y, x + w, y - h), fill=chance.randint(0, 255), width=chance.randint(1, 12))
    return scene


def _place(
    scene: Image.Image, card: Image.Image, card_px: int, flaws: Flaws, chance: random.Random
) -> tuple[float, float]:
    """Paste the card into the scene as a wide camera would see it, blurred; return its middle in the scene."""
    to_scene = _camera(card.size, card_px, flaws, scene.width * 1.1)
    corners = np.array([[0, 0, 1], [card.width, 0, 1], [card.width, card.height, 1], [0, card.height, 1]], float).T
    seen = to_scene @ corners
    seen = seen[:2] / seen[2]
    margin = 4 + 4 * flaws.defocus_px + flaws.motion_px
    low, high = seen.min(axis=1) - margin, seen.max(axis=1) + margin
    span = high - low
    spare = np.maximum(np.array(scene.size) - span, 0)
    corner = np.round(spare * [chance.random(), chance.random()]).astype(int)
    width, height = (math.ceil(part) for part in span)
    shift = np.array([[1, 0, -low[0]], [0, 1, -low[1]], [0, 0, 1]])
    large = np.diag([_OVERSAMPLING, _OVERSAMPLING, 1]) @ shift @ to_scene
    back = np.linalg.inv(large)
    box = (width * _OVERSAMPLING, height * _OVERSAMPLING)
    coefficients = tuple((back / back[2, 2]).ravel()[:8])
    warp = Image.Transform.PERSPECTIVE
    seen_card = card.transform(box, warp, coefficients, Image.Resampling.BICUBIC)
    mask = Image.new("L", card.size, 255).transform(box, warp, coefficients, Image.Resampling.BILINEAR)
    where = (int(corner[0]), int(corner[1]))
    behind = scene.crop((*where, where[0] + width, where[1] + height)).resize(box)
    behind.paste(seen_card, (0, 0), mask)
    scene.paste(_blurred(behind, flaws, chance).resize((width, height), Image.Resampling.BOX), where)
    return where[0] + width / 2, where[1] + height / 2


def _camera(card_size: tuple[int, int], card_px: int, flaws: Flaws, focal_px: float) -> npt.NDArray[np.float64]:
    """Return the 3x3 matrix from card pixels to photo pixels; a module at the card's middle is `module_px` large."""
    turn, tilt, pan = (math.radians(a) for a in (flaws.turn_deg, flaws.tilt_deg, flaws.pan_deg))
    about_z = np.array([[math.cos(turn), -math.sin(turn), 0], [math.sin(turn), math.cos(turn), 0], [0, 0, 1]])
    about_x = np.array([[1, 0, 0], [0, math.cos(tilt), -math.sin(tilt)], [0, math.sin(tilt), math.cos(tilt)]])
    about_y = np.array([[math.cos(pan), 0, math.sin(pan)], [0, 1, 0], [-math.sin(pan), 0, math.cos(pan)]])
    attitude = about_z @ about_x @ about_y
    middle = np.array([[1, 0, -card_size[0] / 2], [0, 1, -card_size[1] / 2], [0, 0, 1]])
    modules = np.diag([1 / card_px, 1 / card_px, 1]) @ middle
    distance = focal_px / flaws.module_px
    view = np.column_stack([attitude[:, 0], attitude[:, 1], [0, 0, distance]])
    matrix: npt.NDArray[np.float64] = np.diag([focal_px, focal_px, 1]) @ view @ modules
    return matrix


def _blurred(picture: Image.Image, flaws: Flaws, chance: random.Random) -> Image.Image:
    streak = flaws.motion_px * _OVERSAMPLING
    steps = round(streak)
    if steps > 1:
        direction = chance.uniform(0, math.pi)
        dx, dy = math.cos(direction), math.sin(direction)
        total = np.zeros((picture.height, picture.width), dtype=np.float32)
        source = np.asarray(picture)
        for step in range(steps):
            along = step - (steps - 1) / 2
            total += np.roll(source, (round(dy * along), round(dx * along)), axis=(0, 1))
        picture = Image.fromarray((total / steps).astype(np.uint8))
    return picture.filter(ImageFilter.GaussianBlur(flaws.defocus_px * _OVERSAMPLING))


def _light(size: tuple[int, int], flaws: Flaws, chance: random.Random) -> Grey:
    """Return brightness by place: a slope across the picture, sometimes with the hard edge of a shadow."""
    across, down = np.meshgrid(np.linspace(-1, 1, size[0] // 8), np.linspace(-1, 1, size[1] // 8))
    direction = chance.uniform(0, 2 * math.pi)
    slope = (across * math.cos(direction) + down * math.sin(direction)) / math.sqrt(2)
    if chance.random() < 0.3:
        slope = np.tanh(slope * 25)
    field = flaws.light * (1 - flaws.shade * (slope + 1) / 2)
    return _enlarged(field, size)


def _glare(
    size: tuple[int, int], middle: tuple[float, float], code_px: float, strength: float, chance: random.Random
) -> Grey:
    """Return one to three soft bright spots round the code's middle."""
    across, down = np.meshgrid(np.arange(size[0] // 8) * 8.0, np.arange(size[1] // 8) * 8.0)
    field = np.zeros_like(across)
    for _ in range(chance.randint(1, 3)):
        x, y = (chance.gauss(centre, code_px / 3) for centre in middle)
        wide = code_px * chance.uniform(0.05, 0.4)
        flat = chance.uniform(0.3, 1)
        field += np.exp(-(((across - x) / wide) ** 2 + ((down - y) / (wide * flat)) ** 2) / 2)
    return _enlarged(field * strength * 255, size)


def _enlarged(field: npt.NDArray[np.float64], size: tuple[int, int]) -> Grey:
    small = Image.fromarray(field.astype(np.float32))
    return np.asarray(small.resize(size, Image.Resampling.BILINEAR), dtype=np.float32)


def _noise(size: tuple[int, int], spread: float, chance: random.Random) -> Grey:
    """Return noise by place, laid out in tiles: a fresh sample for 12 megapixels would cost most of the time."""
    tile = np.random.default_rng(chance.getrandbits(32)).standard_normal((512, 512), dtype=np.float32)
    tiles = np.tile(tile * np.float32(spread), (math.ceil(size[1] / 512), math.ceil(size[0] / 512)))
    return tiles[: size[1], : size[0]]


def _as_jpeg(picture: Image.Image, flaws: Flaws, chance: random.Random) -> bytes:
    """Return the photo as a phone stores it: in colour, sometimes turned with a note of that in the EXIF data."""
    warm = picture.point([round(v * 0.93) for v in range(256)])
    colour = Image.merge("RGB", (picture, picture, warm))
    orientation = chance.choice((1, 1, 3, 6, 8))
    stored = _STORED_TURNED[orientation]
    if stored is not None:
        colour = colour.transpose(stored)
    exif = Image.Exif()
    exif[_EXIF_ORIENTATION_TAG] = orientation
    out = io.BytesIO()
    colour.save(out, "JPEG", quality=flaws.jpeg_quality, exif=exif)
    return out.getvalue()
