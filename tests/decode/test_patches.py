"""Where a code may be in a photo, and how it is cut out of it."""

import random

import numpy as np
import pytest
from PIL import Image

from tests.decode.cards import draw_card
from webapp.decode.cascade import Scene
from webapp.decode.copies import levelled, reduced
from webapp.decode.decoders import SYMBOLOGIES, zbar, zxing
from webapp.decode.patches import cut, patches

TEXT = "WVB7ZZ1KZ8P012345"


def lying(symbology: str, turn_deg: float, module_px: int = 3, size: tuple[int, int] = (2000, 1500)) -> Image.Image:
    """Return a photo with one card in its middle, turned counter-clockwise."""
    card = draw_card(TEXT, symbology, module_px, random.Random(1))[0]
    photo = Image.new("L", size, 120)
    turned = card.rotate(turn_deg, Image.Resampling.BICUBIC, expand=True, fillcolor=120)
    photo.paste(turned, ((size[0] - turned.width) // 2, (size[1] - turned.height) // 2))
    return photo


@pytest.mark.parametrize("turn_deg", [0, 20, 45, 70, 90, 120, 200, 290])
def test_bars_at_any_angle_are_cut_out_upright_so_that_either_decoder_reads_them(turn_deg: float) -> None:
    photo = lying("code-39", turn_deg)
    upright = cut(photo, patches(photo)[0], 1)
    for decode in (zxing, zbar):
        assert [sight.text for sight in decode(upright, frozenset(SYMBOLOGIES))] == [TEXT]


def test_a_patch_lies_where_the_code_is_and_is_hardly_larger() -> None:
    photo = lying("data-matrix", 0, module_px=10)
    (patch,) = patches(photo)
    card = draw_card(TEXT, "data-matrix", 10, random.Random(1))[0]
    assert patch.middle_px == pytest.approx((1000, 750), abs=25)
    assert card.width * 0.8 < patch.width_px < card.width * 1.6


@pytest.mark.parametrize("zoom", [0.5, 1, 2])
def test_a_cut_has_the_patchs_size_times_the_zoom(zoom: float) -> None:
    photo = lying("qr", 0)
    (patch,) = patches(photo)
    assert cut(photo, patch, zoom).size == pytest.approx((patch.width_px * zoom, patch.height_px * zoom), abs=2)


def test_a_cut_is_never_longer_than_the_decoders_can_take_quickly() -> None:
    photo = lying("code-39", 0)
    assert max(cut(photo, patches(photo)[0], 50).size) == 2400


def test_an_even_photo_and_a_tiny_one_have_no_patches() -> None:
    assert patches(Image.new("L", (800, 600), 90)) == ()
    assert patches(Image.new("L", (5, 5), 90)) == ()


def test_no_more_patches_come_than_asked_for_and_the_strongest_comes_first() -> None:
    photo = lying("qr", 0)
    stripes = Image.fromarray(np.tile(np.repeat(np.array([60, 190], dtype=np.uint8), 6), (80, 7)))
    for place in range(6):
        photo.paste(stripes, (40 + 300 * place, 40))
    found = patches(photo, most=3)
    assert len(found) == 3
    assert found[0].middle_px == pytest.approx((1000, 750), abs=25)


def test_the_patches_are_searched_for_once() -> None:
    scene = Scene(lying("qr", 0))
    assert scene.patches is scene.patches


def test_levelling_gives_the_dark_side_the_contrast_of_the_bright_one() -> None:
    stripes = np.tile(np.repeat([1.0, 0.6], 4), (200, 50))
    shade = np.linspace(1, 0.2, 400)[None, :]
    grey = np.asarray(levelled(Image.fromarray((stripes * shade * 250).astype(np.uint8))), dtype=float)
    assert grey[:, 320:].std() > 0.8 * grey[:, :80].std()
    assert grey[:, 320:].mean() == pytest.approx(grey[:, :80].mean(), abs=6)


def test_reducing_leaves_a_small_picture_alone_and_keeps_the_shape_of_a_large_one() -> None:
    picture = Image.new("L", (400, 300))
    assert reduced(picture, 400) is picture
    assert reduced(picture, 200).size == (200, 150)
