"""The shop is put back from a backup while nothing on the phone is unsent: the phone finds out by itself."""

import json
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path
from random import Random

import pytest

from webapp.core.act import Draft
from webapp.core.events import Event, new_id
from webapp.storage.engine import engine, writing
from webapp.storage.journal import append, next_seq
from webapp.storage.progress import progress_of
from webapp.sync import moment

from ..alone import READ
from .checks import check
from .test_faults import Shop, opened

pytestmark = pytest.mark.browser


def note_at_the_server(made: Shop, job: str, text: str) -> None:
    """As somebody does at the shop's own pages."""
    draft, shop = Draft("noted", None, 1, 0, {"text": text}), engine(made.server.database)
    with writing(shop) as db:
        seq, round_ = next_seq(db, "server"), progress_of(db, job).round_of("server")
        event = Event(
            new_id(seq), job, "server", seq, draft.kind, None, 1, 0, moment.now(), 1.0, "s", None, draft.data, round_
        )
        append(db, [event])
    shop.dispose()


def test_what_a_restored_server_has_lost_of_a_phone_comes_home_again(tmp_path: Path) -> None:
    with opened(tmp_path, 1, Random(1)) as made:
        made.open_jobs()
        (one,), (job, other), data = made.bench.hands, made.bench.jobs, made.server.data
        one.go_on(job)
        one.bring_home(job)
        with closing(sqlite3.connect(data / "baybook.db")) as source, closing(sqlite3.connect(data / "backup")) as copy:
            source.backup(copy)

        one.go_on(job)
        one.go_on(job)
        note_at_the_server(made, job, "Lost with the old disk.")
        one.bring_home(job)
        assert check(made.bench, made.sheets) == 3

        made.server.kill()
        for path in data.glob("baybook.db*"):
            path.unlink()
        shutil.copy(data / "backup", data / "baybook.db")
        note_at_the_server(made, job, "Written after the restore.")
        made.server.start()
        assert made.server.wait_until_up()
        one.bring_home(other)
        assert check(made.bench, made.sheets) == 3  # once more nothing is missing, and both sides agree

        # What only the lost disk and this phone had of the server's own is not thrown away.
        (lost,) = [event for event in one.page.evaluate(READ, ["events", None]) if "aside" in event]
        assert json.loads(lost["line"])["data"]["text"] == "Lost with the old disk."
        one.open(job)
        one.go_on(job)
        one.bring_home(job)
        assert check(made.bench, made.sheets) == 4
