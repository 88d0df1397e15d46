"""A label sheet comes out at true size, and every code on it reads as what stands beneath it."""

import subprocess
from io import BytesIO
from itertools import pairwise
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from PIL import Image, ImageFile
from pypdf import PdfReader
from pyzbar.pyzbar import ZBarSymbol, decode
from sqlalchemy.engine import Engine

from tests.cast import ADA, CAST, NOOR, label_of, scan_badge
from webapp.core.errors import BadInput
from webapp.core.labels import Label, label_text
from webapp.storage import kit
from webapp.storage.engine import session
from webapp.web.labels.code import qr_path
from webapp.web.labels.sheet import SIZES, Printed, label_sheet

DPI = 300
MM_PER_INCH = 25.4
A4_MM = (210, 297)


def some(count: int) -> list[Printed]:
    return [Printed(label_text(Label("spot", f"S-{n:03}")), f"Spot no. {n}") for n in range(count)]


def pages_of(pdf: bytes, folder: Path) -> list[Image.Image]:
    """Draw the pages as the printer does at 300 dots an inch."""
    (folder / "sheet.pdf").write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "sheet.pdf", "page"], cwd=folder, check=True)
    return [Image.open(path) for path in sorted(folder.glob("page-*.pgm"))]


def mm(pixels: float) -> float:
    return pixels * MM_PER_INCH / DPI


def px(length_mm: float) -> int:
    return round(length_mm * DPI / MM_PER_INCH)


def cut_out(page: Image.Image, width_mm: int) -> list[Image.Image]:
    """Cut the page along its marks and return the squares with the codes, row by row."""
    return [
        page.crop((px(left_mm), px(top_mm), px(left_mm + width_mm), px(top_mm + width_mm)))
        for left_mm, top_mm in SIZES[width_mm].places()
    ]


def texts_on(page: Image.Image, width_mm: int) -> list[str]:
    """Read the labels of a page one by one, as a scanner does."""
    return [one.data.decode() for square in cut_out(page, width_mm) for one in decode(square, [ZBarSymbol.QRCODE])]


def dark_mm(picture: Image.Image) -> tuple[float, float, float, float]:
    """Return the box round all that is dark: left, top, right, bottom."""
    box = picture.point(lambda grey: 255 * (grey < 128)).getbbox()
    assert box is not None
    left, top, right, bottom = (mm(edge) for edge in box)
    return left, top, right, bottom


@pytest.mark.parametrize("width_mm", SIZES)
def test_the_page_is_a4_and_every_code_reads_as_its_label_in_its_order(width_mm: int, tmp_path: Path) -> None:
    size = SIZES[width_mm]
    labels = some(size.columns * size.rows + 1)
    pdf = label_sheet(labels, width_mm)
    for page in PdfReader(BytesIO(pdf)).pages:
        box_mm = [float(length) * MM_PER_INCH / 72 for length in (page.mediabox.width, page.mediabox.height)]
        assert box_mm == pytest.approx(A4_MM, abs=0.05)
    first, second = pages_of(pdf, tmp_path)
    assert texts_on(first, width_mm) == [label.text for label in labels[:-1]]
    assert texts_on(second, width_mm) == [labels[-1].text]


@pytest.mark.parametrize("width_mm", SIZES)
def test_codes_are_as_far_apart_as_they_say(width_mm: int, tmp_path: Path) -> None:
    size = SIZES[width_mm]
    same = some(1) * (size.columns * size.rows)
    (page,) = pages_of(label_sheet(same, width_mm), tmp_path)
    corners = []
    for (left_mm, top_mm), square in zip(size.places(), cut_out(page, width_mm), strict=True):
        dark = dark_mm(square)
        corners.append((left_mm + dark[0], top_mm + dark[1]))
    for one, other in pairwise(corners[: size.columns]):
        assert other[0] - one[0] == pytest.approx(width_mm, abs=0.2)
        assert other[1] == pytest.approx(one[1], abs=0.2)
    for one, other in pairwise(corners[:: size.columns]):
        assert other[1] - one[1] == pytest.approx(size.height_mm, abs=0.2)


@pytest.mark.parametrize("width_mm", SIZES)
def test_the_dark_part_leaves_a_quiet_zone_of_four_modules(width_mm: int, tmp_path: Path) -> None:
    (label,) = some(1)
    (page,) = pages_of(label_sheet([label], width_mm), tmp_path)
    left_mm, top_mm, right_mm, bottom_mm = dark_mm(cut_out(page, width_mm)[0])
    _, modules = qr_path(label.text)
    quiet_mm = 4 * width_mm / modules
    assert (left_mm, top_mm) == pytest.approx((quiet_mm, quiet_mm), abs=0.2)
    assert (right_mm, bottom_mm) == pytest.approx((width_mm - quiet_mm, width_mm - quiet_mm), abs=0.2)


def test_the_ruler_on_the_sheet_is_100_mm_long(tmp_path: Path) -> None:
    (page,) = pages_of(label_sheet(some(1), 50), tmp_path)
    left_mm, _, right_mm, _ = dark_mm(page.crop((0, px(279), page.width, px(281.5))))
    line_mm = 0.25
    assert right_mm - left_mm - line_mm == pytest.approx(100, abs=0.15)


def test_what_stands_beneath_a_code_is_its_text_and_its_name() -> None:
    labels = some(3)
    words = PdfReader(BytesIO(label_sheet(labels, 90))).pages[0].extract_text()
    for label in labels:
        assert label.text in words
        assert label.name in words
    assert "Measure this: 100 mm" in words


def test_the_longest_label_and_the_longest_name_stay_within_theirs(tmp_path: Path) -> None:
    longest = Printed(label_text(Label("target", "W" * 20)), "WIDE WORDS " * 5 + "ENDS")
    for width_mm, size in SIZES.items():
        (page,) = pages_of(label_sheet([longest], width_mm), tmp_path)
        left_mm, top_mm = size.places()[0]
        # A band of the whole page from below the code to above the lower cut mark: nothing in it leaves the label.
        band = page.crop((0, px(top_mm + width_mm), page.width, px(top_mm + size.height_mm) - 5))
        drawn_mm = dark_mm(band)
        assert left_mm < drawn_mm[0]
        assert drawn_mm[2] < left_mm + width_mm


def test_capitals_take_the_small_version_of_the_code() -> None:
    _, modules = qr_path("BAY.T.CBL-4K7R.X")
    assert modules == 21 + 8
    _, modules = qr_path("BAY.T." + "W" * 20 + ".X")
    assert modules == 25 + 8


@pytest.mark.parametrize("width_mm", [0, 49, 100])
def test_a_size_that_is_not_offered_is_named(width_mm: int) -> None:
    with pytest.raises(BadInput, match=f"size={width_mm} must be one of 50, 90"):
        label_sheet(some(1), width_mm)


@pytest.mark.parametrize("count", [0, 501])
def test_no_labels_and_too_many_are_refused(count: int) -> None:
    with pytest.raises(BadInput, match=f"labels={count} must be 1 to 500"):
        label_sheet(some(count), 50)


def test_the_page_offers_all_that_carries_a_label(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, ADA)
    page = client.get("/labels").text
    with session(demo_engine) as db:
        tools = [item.code for item in kit.items(db) if item.kind == "tool"]
        carrying = [item.code for item in kit.items(db) if item.kind in ("target", "spot", "bay")]
    for code in carrying:
        assert f'value="{code}"' in page
    for code in tools:
        assert f'value="{code}"' not in page


def test_badges_are_printed_for_supervisors_and_managers_only(client: FlaskClient) -> None:
    for prepare in (lambda: None, lambda: scan_badge(client, NOOR)):
        prepare()
        page = client.get("/labels").text
        assert not [one for one in CAST if one.badge in page]
        assert client.get(f"/labels/labels.pdf?code={ADA.badge}").status_code == 400


def test_the_sheet_holds_what_was_chosen(client: FlaskClient, demo_engine: Engine, tmp_path: Path) -> None:
    with session(demo_engine) as db:
        chosen = [item for item in kit.items(db) if item.kind == "spot"][:3]
    answer = client.get("/labels/labels.pdf", query_string={"size": "90", "code": [item.code for item in chosen]})
    assert answer.mimetype == "application/pdf"
    (page,) = pages_of(answer.data, tmp_path)
    assert texts_on(page, 90) == [label_of(item) for item in chosen]


def test_a_whole_kind_is_one_button(client: FlaskClient, demo_engine: Engine, tmp_path: Path) -> None:
    answer = client.get("/labels/labels.pdf", query_string={"size": "50", "kind": "target", "code": "IGNORED"})
    with session(demo_engine) as db:
        targets = [label_of(item) for item in kit.items(db) if item.kind == "target"]
    assert [text for page in pages_of(answer.data, tmp_path) for text in texts_on(page, 50)] == targets


@pytest.mark.parametrize(
    ("query", "message"),
    [
        ({"size": "50"}, "labels=0 must be 1 to 500"),
        ({"size": "50", "code": "NOTHING"}, "code=&#39;NOTHING&#39; is no thing and no badge"),
        ({"size": "huge", "kind": "target"}, "size=0 must be one of 50, 90"),
    ],
)
def test_what_cannot_be_printed_is_named(client: FlaskClient, query: dict[str, str], message: str) -> None:
    answer = client.get("/labels/labels.pdf", query_string=query)
    assert answer.status_code == 400
    assert message in answer.text


def test_after_printing_half_a_photo_is_still_refused() -> None:
    label_sheet(some(1), 50)
    assert not ImageFile.LOAD_TRUNCATED_IMAGES
