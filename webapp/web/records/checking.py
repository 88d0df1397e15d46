"""Where the code on a record leads: whether this shop's log has what was printed, and what came to the job since."""

from flask import render_template

from webapp.core.proven import entry_of
from webapp.storage import log
from webapp.storage.log_tables import LogEntry
from webapp.web import db
from webapp.web.records import pages
from webapp.web.records.page import moment_of


@pages.get("/check/<int:number>-<digest>")
def check(number: int, digest: str) -> tuple[str, int]:
    with db.session() as held:
        entry = held.get(LogEntry, number)
        known = entry is not None and log.name_of(entry) == f"{number}-{digest.lower()}"
        newest = log.newest_of(held, entry.job) if entry and known else None
        size = log.size_of(held)
    said = entry_of(entry.text) if entry and known else None
    later = entry_of(newest.text) if newest and newest.number != number else None
    told = {"said": said, "later": later, "newest": newest, "number": number, "size": size, "moment": moment_of}
    return render_template("records/check.html", **told), 200 if known else 404
