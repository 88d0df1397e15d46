"""The generator of degraded photos, and the cascade on a few of them. The full measurement is `make bench`."""

import io
import itertools
import random
from collections.abc import Iterator

import numpy as np
import pytest
from PIL import Image

from tests.decode.flaws import GRADES, SETTINGS, flaws_of
from tests.decode.photos import Photo, photo, series
from tests.decode.texts import some_label, some_vin
from webapp.core.labels import label_text, read_label
from webapp.core.vin import read_vin
from webapp.decode import ANY, LABEL, VIN, decode_photo
from webapp.decode.decoders import SYMBOLOGIES

UNHURRIED_S = 1000.0  # a busy machine must not decide what is read


def some(grade: str) -> Iterator[Photo]:
    for number, symbology in enumerate(SYMBOLOGIES):
        yield photo(number, 31, grade, SETTINGS[number % 2], symbology)


def test_the_same_seed_makes_the_same_photo_and_another_seed_another() -> None:
    first, again, other = (photo(4, seed, "hard", "mixed", "code-39") for seed in (8, 8, 9))
    assert first == again
    assert first.data != other.data


def test_a_series_holds_every_grade_and_symbology_in_equal_parts_as_jpegs_of_sizes_that_phones_take() -> None:
    made = list(series(12, 1))
    assert sorted((one.grade, one.symbology) for one in made) == sorted(itertools.product(GRADES, SYMBOLOGIES))
    for one in made:
        opened = Image.open(io.BytesIO(one.data))
        assert opened.format == "JPEG"
        assert sorted(opened.size) in ([960, 1280], [1440, 1920], [3024, 4032])


def test_flaws_grow_from_grade_to_grade() -> None:
    def mean(grade: str, flaw: str) -> float:
        return float(np.mean([getattr(flaws_of(grade, "mixed", random.Random(n)), flaw) for n in range(200)]))

    for flaw in ("noise", "cover", "glare", "shade"):
        assert mean("easy", flaw) <= mean("medium", flaw) < mean("hard", flaw)
    for flaw in ("module_px", "light", "jpeg_quality"):
        assert mean("easy", flaw) > mean("medium", flaw) > mean("hard", flaw)


def test_the_printed_texts_are_labels_and_vins_that_the_core_accepts() -> None:
    chance = random.Random(3)
    for _ in range(200):
        label, vin = some_label(chance), some_vin(chance)
        assert label_text(read_label(label)) == label
        assert read_vin(vin).valid


@pytest.mark.parametrize("grade", ["easy", "medium"])
def test_of_a_few_photos_of_each_kind_all_are_read_and_none_wrongly(grade: str) -> None:
    for one in some(grade):
        asked = decode_photo(one.data, LABEL if one.kind == "label" else VIN, budget_s=UNHURRIED_S)
        assert (one.name, asked.only().text, asked.sure) == (one.name, one.text, True)


def test_of_a_few_hard_photos_none_is_read_wrongly() -> None:
    for one in some("hard"):
        texts = {found.text for found in decode_photo(one.data, ANY, budget_s=UNHURRIED_S).found}
        assert texts <= {one.text}, one.name


def test_random_bars_are_never_taken_for_a_code() -> None:
    for seed in range(6):
        numbers = np.random.default_rng(seed)
        widths = numbers.integers(1, 5, 220) * 3
        bars = np.repeat(np.arange(220) % 2 * 180 + 40, widths)[:1400].astype(np.uint8)
        out = io.BytesIO()
        Image.fromarray(np.tile(bars, (500, 1))).save(out, "PNG")
        assert decode_photo(out.getvalue(), ANY, budget_s=UNHURRIED_S).found == ()
