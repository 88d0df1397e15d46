"""What this shop has still to send to head office: how much, why not yet; and what head office has signed."""

from flask import Blueprint, redirect, render_template
from werkzeug.wrappers import Response

from webapp.core.errors import NotFound
from webapp.storage import log, outbox
from webapp.storage.outbox_tables import HeadOffice
from webapp.web import db, moment
from webapp.web.rights import need_supervisor

pages = Blueprint("outbox", __name__, url_prefix="/outbox", template_folder="templates")


@pages.get("")
def show() -> str:
    need_supervisor()
    with db.session() as held:
        office = outbox.head_office(held)
        if office is None:
            return render_template("outbox/outbox.html", office=None)
        oldest = outbox.oldest_waiting(held, office)
        return render_template(
            "outbox/outbox.html",
            office=office,
            waits=outbox.waiting(held, office),
            oldest=oldest,
            state=_state(office, log.size_of(held)),
            signed=outbox.cosigned(held),
            apart=outbox.apart(held),
            at=_at,
            hours=db.settings().send_hours,
            rate=db.settings().send_rate_kb_s,
        )


@pages.post("/now")
def send_now() -> Response:
    """Try again at once, whatever was waited for; within the hours of sending."""
    need_supervisor()
    with db.writing() as held:
        office = outbox.head_office(held)
        if office is None:
            raise NotFound("no-head-office", "", "This shop has joined no head office; join one at the server first")
        outbox.hurry(held, office)
    return redirect("/outbox", 303)


def _state(office: HeadOffice, size: int) -> str:
    """`sent`, `waits` or `fails`."""
    if office.why:
        return "fails"
    return "sent" if (office.size, office.head_size, office.photos) == (size, size, 0) else "waits"


def _at(instant: str | None) -> str:
    return f"{moment.local(instant):%Y-%m-%d %H:%M}" if instant else ""
