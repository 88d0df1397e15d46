"""When the disk is full or the database is locked a clear page says so, and nothing half written stays."""

import pytest
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import ADA, scan_badge
from webapp.storage import kit
from webapp.storage.engine import session

from .trouble import Trouble, full, locked

MOST = 60  # so many items need more room than a new database has left in its last pages


@pytest.mark.parametrize(
    ("trouble", "words"),
    [
        (locked, "The database is busy with something else. Nothing was kept; try again"),
        (full, "disk of the shop&#39;s computer is full. Nothing was kept; make room"),
    ],
)
def test_the_form_says_so_keeps_what_was_typed_and_works_again_afterwards(
    client: FlaskClient, impatient: Engine, trouble: Trouble, words: str
) -> None:
    def count() -> int:
        with session(impatient) as db:
            return len(kit.items(db))

    scan_badge(client, ADA)
    sent = {"what": "bay:bay", "name": "Bay far away", "note": "The northern hall. " * 25}
    before = count()
    with trouble(impatient):
        kept = 0
        while (answer := client.post("/kit/new", data=sent)).status_code == 303 and kept < MOST:
            kept += 1
    assert answer.status_code == 503
    assert words in answer.text
    assert 'value="Bay far away"' in answer.text
    assert count() == before + kept
    assert client.post("/kit/new", data=sent).status_code == 303
    assert count() == before + kept + 1
