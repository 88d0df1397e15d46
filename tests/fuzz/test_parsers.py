"""Whatever comes from outside is read or refused in so many words; none of the readers breaks."""

import json
import random
import zlib
from collections.abc import Callable
from functools import cache
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.test_events import EVENT
from tests.decode.cards import draw_card
from tests.library.mistakes import GOOD
from tests.sheets import every_kind
from tests.sync.conftest import Exchange, Opened, opened, sync_database  # noqa: F401 - fixtures
from webapp.core.compute import METHODS, compute_lines
from webapp.core.errors import BaybookError
from webapp.core.labels import Label, label_text, read_badge, read_label
from webapp.core.measure.reading import Range, read
from webapp.core.replay import replay_lines
from webapp.core.vin import read_vin
from webapp.decode import ANY, decode_photo
from webapp.library.finding import Finding
from webapp.library.lint import lint
from webapp.library.read import parsed
from webapp.storage.engine import writing
from webapp.storage.keys import as_jwk
from webapp.storage.own_keys import RECORDS, private_key
from webapp.sync.bring import import_journal, read_journal
from webapp.sync.routes import shop_now
from webapp.verify import verify

from .conftest import fuzzing

WORDS = st.text(max_size=40)
LABEL = label_text(Label("badge", "DK4KV7"))


def spoiled(good: bytes) -> st.SearchStrategy[bytes]:
    """The same bytes with some of them changed, left out, put in twice, or cut off."""

    def spoil(changes: list[tuple[int, int, bytes]]) -> bytes:
        made = bytearray(good)
        for at, length, put in changes:
            begin = at % (len(made) + 1)
            made[begin : begin + length] = put
        return bytes(made)

    change = st.tuples(st.integers(0, 2**31), st.integers(0, 40), st.binary(max_size=12))
    return st.lists(change, min_size=1, max_size=5).map(spoil)


def spoiled_text(good: str) -> st.SearchStrategy[str]:
    return spoiled(good.encode()).map(lambda data: data.decode(errors="replace"))


def refused_at_most(reader: Callable[[], Any]) -> None:
    """What cannot be read is refused with a code and words; anything else is a fault."""
    told = None
    try:
        reader()
    except BaybookError as refused:
        told = refused.as_dict()["error"]
    assert told is None or (told["code"] and told["message"])


@cache
def picture(kind: str) -> bytes:
    card, _columns = draw_card(LABEL, "qr", 3, random.Random(1))
    written = BytesIO()
    card.convert("RGB").resize((160, 160)).save(written, kind)
    return written.getvalue()


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "GIF", "WEBP", "BMP", "TIFF"])
def test_a_spoiled_picture_is_read_or_refused(kind: str) -> None:
    @fuzzing
    @given(data=spoiled(picture(kind)))
    def holds(data: bytes) -> None:
        refused_at_most(lambda: decode_photo(data, ANY, budget_s=0.0))

    holds()


@fuzzing
@given(data=st.binary(max_size=400))
def test_bytes_that_are_no_picture_are_refused(data: bytes) -> None:
    refused_at_most(lambda: decode_photo(data, ANY, budget_s=0.0))


FILES = sorted(path.relative_to(GOOD).as_posix() for path in GOOD.rglob("*.yaml"))


@pytest.mark.parametrize("file", FILES)
def test_a_spoiled_file_of_the_library_gives_findings(file: str) -> None:
    good = (GOOD / file).read_bytes()

    @fuzzing
    @given(data=spoiled(good))
    def holds(data: bytes) -> None:
        found = parsed(file, data)
        assert found.findings is not None

    holds()


@fuzzing
@given(data=spoiled((GOOD / "forward-camera.yaml").read_bytes()))
def test_a_library_with_a_spoiled_procedure_is_told_its_findings(data: bytes) -> None:
    with TemporaryDirectory() as held:
        folder = Path(held)
        for path in GOOD.rglob("*.yaml"):
            to = folder / path.relative_to(GOOD)
            to.parent.mkdir(parents=True, exist_ok=True)
            to.write_bytes(data if path.name == "forward-camera.yaml" else path.read_bytes())
        assert all(isinstance(one, Finding) for one in lint(folder))


@pytest.mark.parametrize("method", sorted(METHODS))
def test_a_line_to_compute_is_answered_with_a_line(method: str) -> None:
    cases = json.loads((Path(__file__).parents[1] / "cases" / f"{method}.json").read_text()) if _has(method) else []
    good = json.dumps(cases[0].get("given", {}) if cases and isinstance(cases[0], dict) else {"text": LABEL}).encode()

    @fuzzing
    @given(line=st.one_of(WORDS, spoiled(good).map(lambda data: data.decode(errors="replace"))))
    def holds(line: str) -> None:
        for answer, _refused in compute_lines(method, [line]):
            assert isinstance(json.loads(answer), dict)

    holds()


def _has(method: str) -> bool:
    return (Path(__file__).parents[1] / "cases" / f"{method}.json").is_file()


@cache
def journal() -> bytes:
    lines = [{"sheet": every_kind()}, EVENT | {"kind": "noted", "data": {"text": "x"}}, EVENT | {"id": "e2", "seq": 2}]
    return "\n".join(map(json.dumps, lines)).encode()


@fuzzing
@given(data=spoiled(journal()))
def test_a_spoiled_journal_is_folded_or_refused(data: bytes) -> None:
    refused_at_most(lambda: replay_lines(data.decode(errors="replace").splitlines()))


@fuzzing
@given(text=st.one_of(WORDS, st.integers(), st.none(), spoiled_text(LABEL)))
def test_any_text_is_a_label_a_badge_a_vin_and_a_reading_or_refused(text: Any) -> None:
    refused_at_most(lambda: read_label(text))
    refused_at_most(lambda: read_badge(text))
    refused_at_most(lambda: read_vin(text))
    for unit in ("mm", "in"):
        refused_at_most(lambda unit=unit: read(text, "x", Range("mm", 0, 1000), unit))  # type: ignore[misc]


def test_a_journal_file_of_any_content_is_brought_in_or_refused(opened: Opened) -> None:  # noqa: F811
    at: Exchange = opened()
    phone = at.phone(at.job())
    head = json.dumps({"journal": 1, "device": phone.device})
    photo = {"photo": "a" * 64, "base64": "AA"}
    good = "\n".join([head, *map(json.dumps, ({"facts": {}}, EVENT, photo))])

    @fuzzing
    @given(data=spoiled(good.encode()))
    def holds(data: bytes) -> None:
        with at.client.application.app_context(), writing(at.engine) as db:
            shop, library = shop_now(db, by="DQ3WC8", why="x"), at.client.application.extensions["library"]
            text = data.decode(errors="replace")
            refused_at_most(lambda: import_journal(db, read_journal(text, "DQ3WC8"), shop, library))
            db.rollback()

    holds()


PDF = b"%PDF-1.7\n1 0 obj<</Type/Catalog/Pages 2 0 R/Names<</EmbeddedFiles<</Names[(record.json)3 0 R]>>>>>>endobj\n"
PDF += b"2 0 obj<</Type/Pages/Kids[]/Count 0>>endobj\n3 0 obj<</Type/Filespec/F(record.json)/EF<</F 4 0 R>>>>endobj\n"
PDF += b"4 0 obj<</Type/EmbeddedFile/Length 2>>stream\n{}\nendstream endobj\nxref\n0 5\n" + b"0000000000 65535 f \n" * 5
PDF += b"trailer<</Size 5/Root 1 0 R>>\nstartxref\n350\n%%EOF"
HEAD = {"size": 1, "root": "", "at": "", "signature": ""}
PARTS = {"path": [], "head": HEAD, "sheet": "{}", "lines": ["{}"], "photos": {}, "amendments": [{}]}
RECORD = json.dumps({"baybook-record": 2, "entry": "{}", "number": 0, **PARTS}).encode()


@pytest.mark.parametrize("good", [PDF, RECORD, zlib.compress(RECORD)], ids=["pdf", "json", "packed"])
def test_a_file_to_verify_is_told_of_and_ends_nothing(good: bytes, tmp_path: Path) -> None:
    key, file = tmp_path / "key.json", tmp_path / "record"
    key.write_text(json.dumps(as_jwk(private_key(tmp_path, RECORDS).public_key())))

    @fuzzing
    @given(data=spoiled(good))
    def holds(data: bytes) -> None:
        file.write_bytes(data)
        (answer,) = verify([file], key)
        assert answer["unchanged"] is False
        assert answer["findings"]

    holds()
