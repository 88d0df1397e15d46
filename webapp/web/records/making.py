"""Records printed in the background: in a process of its own, since laying out paper would keep every phone waiting.

A finished PDF lies in the data folder under the name of the log's entry that it shows and its language, and can be made
anew at any time. Who makes one holds a lock on its `.making` file, in which stands how far it has come.
"""

import fcntl
import os
import subprocess
import sys
from contextlib import suppress
from pathlib import Path
from threading import Thread
from typing import IO, Any

from flask import Response, render_template, send_file

from webapp.config import Settings
from webapp.core.errors import Conflict, shown
from webapp.messages import tongue
from webapp.storage import jobs, log, privacy
from webapp.web import db
from webapp.web.records import pages
from webapp.web.records.paper import STEPS

FOLDER = "records"
MOST_KEPT = 200
MOST_AT_ONCE = 2
"""So many are printed at the same time, however many wait: each takes a processor and 200 MB."""


@pages.get("/jobs/<job_id>/<any(record, owner):paper>.pdf")
def show_pdf(job_id: str, paper: str) -> Response:
    """The PDF; or a page that says how far it is and asks again."""
    with db.session() as held:
        job = jobs.job_of(held, job_id)
        privacy.need_whole(held, job_id)
        entry = log.newest_of(held, job_id)
        name = log.name_of(entry) if entry else ""
    if not name:
        raise Conflict("job-not-ended", "job", f"job={shown(job_id)} has not ended, so there is no record to print yet")
    path = db.settings().data / FOLDER / f"{name}-{paper}-{tongue().code}.pdf"
    if path.is_file():
        return send_file(path, download_name=f"{paper}-{job.repair_order or job_id}.pdf", max_age=0)
    failed = path.with_suffix(".failed")
    why = failed.read_text() if failed.is_file() else ""
    if why:
        failed.unlink(missing_ok=True)  # the next look tries again
    elif not _being_made(path):
        _begin(path, job_id, paper, db.settings())
    page = render_template("records/making.html", job=job, paper=paper, step=_step(path), steps=STEPS, why=why)
    return Response(page, 500) if why else Response(page, 202, {"Refresh": "1"})  # the browser asks again by itself


def _being_made(path: Path) -> bool:
    """Whether somebody holds the lock; one who died does not."""
    with suppress(FileNotFoundError), path.with_suffix(".making").open() as file:
        try:
            fcntl.flock(file, fcntl.LOCK_SH | fcntl.LOCK_NB)
        except BlockingIOError:
            return True
    return False


def _step(path: Path) -> int:
    with suppress(FileNotFoundError, ValueError):
        return int(path.with_suffix(".making").read_text())
    return 0


def _begin(path: Path, job_id: str, paper: str, shop: Settings) -> None:
    """Start `baybook record`, which goes on by itself. Two that start at once: the second finds the lock and ends.

    Where others are being printed already, nothing is started: the page that waits asks again.
    """
    path.parent.mkdir(mode=0o700, exist_ok=True)
    _prune(path.parent)
    if (place := _place(path.parent)) is None:
        return
    command = [sys.executable, "-m", "webapp.cli", "record", job_id, str(path), "--language", tongue().code]
    command += ["--owner"] if paper == "owner" else []
    env = os.environ | {"DATA": str(shop.data), "DATABASE_URL": shop.database_url, "PROCEDURES": str(shop.procedures)}
    quiet: dict[str, Any] = dict.fromkeys(("stdin", "stdout", "stderr"), subprocess.DEVNULL)
    with place:
        made = subprocess.Popen(command, env=env, start_new_session=True, pass_fds=[place.fileno()], **quiet)  # noqa: S603 - our own command
    Thread(target=made.wait, daemon=True).start()  # or it would stay in the system's table until this server ends


def _place(folder: Path) -> IO[bytes] | None:
    """One of the places to print at, locked; None where all are taken. Whoever has the open file has the lock, so that
    it goes on to the process that prints, and ends with that, however that ends.
    """
    for number in range(MOST_AT_ONCE):
        place = (folder / f".place-{number}").open("ab")
        try:
            fcntl.flock(place, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            place.close()
        else:
            return place
    return None


def _prune(folder: Path) -> None:
    """Only the newest are kept: any other is made anew when it is asked for."""
    kept = sorted(folder.glob("*.pdf"), key=lambda path: path.stat().st_mtime)
    for path in kept[:-MOST_KEPT]:
        path.unlink(missing_ok=True)
