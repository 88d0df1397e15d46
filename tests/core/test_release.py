"""A release's manifest: one spelling, signed; and whatever else it is given, it is refused in so many words."""

import json
from contextlib import suppress
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.fuzz.conftest import fuzzing
from webapp.core.errors import BadInput, BaybookError, Conflict
from webapp.core.release import VERSION, File, Release, files_of, need_note, read_manifest, signed_text

AT = "2026-03-07T08:00:00.000Z"
FILES = {"shared/catalogue.yaml": b"a: 1\n", "vehicles/one.yaml": b"b: 2\n", "translations/es/one.yaml": b"c: 3\n"}
MADE = Release(3, AT, "Tomas", "Closer", files_of(FILES))
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=20,
)


ELSEWHERE = ("", "/etc/a.yaml", "../a.yaml", "shared/../../a.yaml", "a", "shared/.a.yaml", "x/y.yaml", "a\n.yaml")


def read(text: str) -> Release:
    return read_manifest(text, b"", lambda _signature, _said: True)


def spoiled(**more: Any) -> str:
    return json.dumps(json.loads(MADE.text()) | more)


def test_it_reads_back_as_it_was_written() -> None:
    assert read(MADE.text()) == MADE
    assert read(MADE.text()).text() == MADE.text()
    assert [one.place for one in MADE.files] == sorted(FILES)


def test_what_is_signed_begins_with_what_it_is() -> None:
    seen: list[bytes] = []
    with pytest.raises(BadInput, match="is not head office's"):
        read_manifest("anything", b"s", lambda _signature, said: bool(seen.append(said)))
    assert seen == [signed_text("anything")] == [b"baybook-release\nanything"]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "release-format"),
        ("[]", "release-format"),
        ('{"baybook-release": true}', "release-format"),
        (spoiled(number=0), "out-of-range"),
        (spoiled(number="x"), "not-a-number"),
        (spoiled(made_at="today"), "release-format"),
        (spoiled(wonder=1), "unknown-field"),
        (spoiled(files=[{"place": "a.yaml", "sha256": "0" * 64, "size": 1}] * 2), "release-format"),
        (spoiled(files=[{"place": "a.yaml", "sha256": "A" * 64, "size": 1}]), "release-format"),
        (spoiled(files=[{"place": "a.yaml", "sha256": "0" * 64, "size": 10**7}]), "out-of-range"),
        *((spoiled(files=[{"place": place, "sha256": "0" * 64, "size": 1}]), "release-place") for place in ELSEWHERE),
    ],
)
def test_what_is_no_release_is_refused_by_name(text: str, code: str) -> None:
    with pytest.raises(BaybookError) as told:
        read(text)
    assert told.value.code == code


def test_a_newer_form_asks_for_a_newer_program() -> None:
    with pytest.raises(Conflict, match="update Baybook in this shop"):
        read(spoiled(**{"baybook-release": VERSION + 1}))


def test_a_note_is_one_line_for_every_shop() -> None:
    assert need_note("  Closer \n now ") == "Closer now"
    for bad in ("", " \n", "x" * 301, "a\0b"):
        with pytest.raises(BadInput, match="say to the shops why"):
            need_note(bad)


@fuzzing
@given(place=st.sampled_from(["number", "made_at", "made_by", "note", "files", "baybook-release"]), value=JSON)
def test_whatever_stands_in_it_it_is_read_or_refused(place: str, value: Any) -> None:
    with suppress(BaybookError):
        made = read(spoiled(**{place: value}))
        assert all(isinstance(one, File) for one in made.files)
