"""Releases of head office at this shop: which waits, what it changes in plain words, and a supervisor's approval."""

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from webapp.core.errors import BadInput, BaybookError, NotFound
from webapp.core.kinds.common import words
from webapp.storage import outbox, people, releases
from webapp.web import db, moment
from webapp.web.refusals import status_of
from webapp.web.releases.seen import see
from webapp.web.rights import need_supervisor
from webapp.web.signer import signer, signs_here

pages = Blueprint("releases", __name__, url_prefix="/releases", template_folder="templates")
Answer = str | Response | tuple[str, int]


@pages.get("")
def everything() -> str:
    need_supervisor()
    with db.session() as held:
        office = outbox.head_office(held)
        turn = releases.last_turn(held)
        rows = releases.every(held)
        return render_template(
            "releases/list.html",
            office=office,
            releases=rows,
            in_use=next((one for one in rows if turn and one.id == turn.release), None),
            turn=turn,
            waits=releases.waiting(held),
            pending=releases.pending(held),
            running=releases.running(held),
            asked=releases.asked(held),
            trouble=db.stocks().trouble(held),
            decided=releases.decisions(held),
            names={one.code: one.name for one in people.everyone(held)},
            at=_at,
        )


@pages.post("/ask")
def ask_now() -> Response:
    """Have head office asked at once, within the hours of sending."""
    need_supervisor()
    with db.writing() as held:
        if outbox.head_office(held) is None:
            raise NotFound("no-head-office", "", "This shop has joined no head office; join one at the server first")
        releases.hurry(held)
    return redirect("/releases", 303)


@pages.get("/<int:number>")
def one(number: int) -> Answer:
    need_supervisor()
    return _page(number, None)


@pages.post("/<int:number>/approve")
def approve(number: int) -> Answer:
    """Jobs are planned by it, from now on or once none is running; whoever approves has seen what changes."""
    need_supervisor()
    try:
        when, seen = request.form.get("when", "now"), request.form.get("seen", "")
        if when not in ("now", "quiet"):
            raise BadInput("release-when", "when", "when is not chosen; say whether at once or when no job is running")
        if not (seen.isascii() and seen.isdecimal() and len(seen) < 10):
            raise BadInput("release-seen", "seen", "seen is missing; open the page again and look at what changes")
        by = signer()
        with db.session() as held:
            if number != releases.CAME_ALONG:
                db.stocks().of(held, number)  # what this program cannot work with is not taken up
        with db.writing() as held:
            releases.approve(held, number, int(seen), by.code, moment.now().at, when == "quiet")
    except BaybookError as error:
        return _page(number, error, "approve")
    return redirect(url_for("releases.everything"), 303)


@pages.post("/<int:number>/decline")
def decline(number: int) -> Answer:
    """It is not taken up, for a reason that head office is told."""
    need_supervisor()
    try:
        why = words(request.form.to_dict(), "reason", "why this release is not taken up")
        by = signer()
        with db.writing() as held:
            releases.decline(held, number, by.code, moment.now().at, why)
    except BaybookError as error:
        return _page(number, error, "decline")
    return redirect(url_for("releases.everything"), 303)


def _page(number: int, refused: BaybookError | None, on: str = "") -> tuple[str, int]:
    with db.session() as held:
        seen = see(held, number)
        page = render_template(
            "releases/one.html",
            seen=seen,
            running=releases.running(held),
            pending=releases.pending(held),
            decided=releases.decisions(held, number),
            names={one.code: one.name for one in people.everyone(held)},
            here=signs_here(),
            at=_at,
            refused=refused,
            on=on,
            form=request.form,
        )
    return page, status_of(refused) if refused else 200


def _at(instant: str | None) -> str:
    return f"{moment.local(instant):%Y-%m-%d %H:%M}" if instant else ""
