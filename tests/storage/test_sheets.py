"""A sheet is kept once under the hash of what is in it, and a change to it afterwards is noticed."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic_core import from_json
from sqlalchemy import text
from sqlalchemy.engine import Engine

from webapp.core.errors import Conflict, NotFound
from webapp.core.sheet import canonical
from webapp.storage.engine import session, writing
from webapp.storage.sheets import keep_sheet, read_sheet

SHEET = {"format": 1, "steps": [{"id": "reference-axis/chock", "do": "Chock – both “rear” wheels."}], "area": None}


def test_a_sheet_comes_back_as_it_was_frozen(engine: Engine) -> None:
    with writing(engine) as db:
        name = keep_sheet(db, SHEET)
    assert len(name) == 64
    with session(engine) as db:
        assert read_sheet(db, name) == SHEET


LARGEST = 2**53 - 1  # beyond it there is no canonical text that could be frozen again
LEAVES = st.none() | st.booleans() | st.integers(-LARGEST, LARGEST) | st.floats(-LARGEST, LARGEST)
VALUES = st.recursive(
    LEAVES | st.text(), lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4)
)


@given(st.dictionaries(st.text(), VALUES, max_size=6))
def test_both_readers_find_the_same_in_a_canonical_text(sheet: dict[str, object]) -> None:
    text = canonical(sheet)
    assert from_json(text) == json.loads(text)
    assert canonical(from_json(text)) == text


def test_the_order_of_keys_makes_no_other_sheet_and_keeping_it_again_no_second(engine: Engine) -> None:
    turned = dict(reversed(SHEET.items()))
    with writing(engine) as db:
        assert keep_sheet(db, SHEET) == keep_sheet(db, turned)
    with writing(engine) as db:
        assert keep_sheet(db, SHEET) != keep_sheet(db, SHEET | {"format": 2})
        assert db.connection().execute(text("SELECT count(*) FROM sheet")).scalar() == 2


def test_an_unknown_sheet_is_named(engine: Engine) -> None:
    with session(engine) as db, pytest.raises(NotFound, match="sheet='abc' is not kept here"):
        read_sheet(db, "abc")


def test_a_sheet_that_was_changed_behind_our_back_is_refused(engine: Engine) -> None:
    with writing(engine) as db:
        name = keep_sheet(db, SHEET)
        db.connection().execute(text("UPDATE sheet SET body = replace(body, 'Chock', 'Check')"))
    with session(engine) as db, pytest.raises(Conflict, match="was changed after it was frozen"):
        read_sheet(db, name)
