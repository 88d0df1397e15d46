"""ASVS.md names tests and places that exist, and every item of levels 1 and 2 once."""

import re
from collections import Counter

import pytest
from flask.testing import FlaskClient

from webapp.paths import STATIC

ROOT = STATIC.parent
TABLE = (ROOT / "ASVS.md").read_text(encoding="utf-8")
ROWS = [row for row in TABLE.splitlines() if re.match(r"\| [0-9]+\.", row)]
# How many items of levels 1 and 2 each section of the standard has, as its text of 5.0 numbers them.
SECTIONS = {
    "1.1": 2, "1.2": 9, "1.3": 11, "1.4": 3, "1.5": 2, "2.1": 3, "2.2": 3, "2.3": 4, "2.4": 1, "3.2": 2,
    "3.3": 4, "3.4": 6, "3.5": 5, "3.7": 2, "4.1": 3, "4.2": 1, "4.3": 2, "4.4": 4, "5.1": 1, "5.2": 3,
    "5.3": 2, "5.4": 3, "6.1": 3, "6.2": 11, "6.3": 3, "6.4": 4, "6.5": 5, "6.6": 3, "7.1": 3, "7.2": 4,
    "7.3": 2, "7.4": 5, "7.5": 2, "7.6": 2, "8.1": 2, "8.2": 3, "8.3": 1, "8.4": 1, "9.1": 3, "9.2": 4,
    "11.1": 2, "11.2": 3, "11.3": 3, "11.4": 3, "11.5": 1, "11.6": 1, "12.1": 3, "12.2": 2, "12.3": 4,
    "13.1": 1, "13.2": 5, "13.3": 2, "13.4": 5, "14.1": 2, "14.2": 4, "14.3": 3, "15.1": 3, "15.2": 3,
    "15.3": 7, "16.1": 1, "16.2": 5, "16.3": 4, "16.4": 3, "16.5": 3,
}  # fmt: skip


def test_every_item_stands_in_the_table_once() -> None:
    items = [item for row in ROWS for item in re.findall(r"[0-9]+\.[0-9]+\.[0-9]+", row.split("|")[1])]
    assert [item for item, count in Counter(items).items() if count > 1] == []
    assert Counter(item.rpartition(".")[0] for item in items) == SECTIONS


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.split("|")[1].strip())
def test_what_a_row_names_exists(row: str) -> None:
    _empty, _item, _matter, verdict, why, _end = (part.strip() for part in row.split("|"))
    assert verdict in ("met", "not met", "none")
    assert why
    for path, name in re.findall(r"(tests/[a-z_/]+\.py)(?:::(test_[a-z0-9_]+))?", why):
        text = (ROOT / path).read_text(encoding="utf-8")
        assert not name or re.search(rf"^def {name}\(", text, re.MULTILINE), f"{path}::{name}"
    for path in re.findall(r"(webapp/[a-z_/]+\.(?:py|md)|procedures/schema/)", why):
        assert (ROOT / path).exists(), path


def test_trace_is_refused(client: FlaskClient) -> None:
    assert client.open("/", method="TRACE").status_code in (403, 405)
