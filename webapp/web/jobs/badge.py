"""Who is working on this phone: a badge scanned, or nobody."""

from flask import redirect, render_template, request
from werkzeug.wrappers import Response

from webapp.core.errors import BadInput, BaybookError
from webapp.core.labels import read_label
from webapp.storage import people
from webapp.web import db
from webapp.web.jobs import pages
from webapp.web.refusals import status_of
from webapp.web.who import set_person

LONGEST_SHOWN = 200


@pages.get("/badge")
def show_badge() -> str:
    return render_template("jobs/badge.html", error=None, text="")


@pages.post("/badge")
def take_badge() -> Response | tuple[str, int]:
    if "leave" in request.form:
        set_person(None)
        return redirect("/badge", 303)
    text = request.form.get("badge", "")
    try:
        set_person(_badge(text))
    except BaybookError as error:
        return render_template("jobs/badge.html", error=error.message, text=text[:LONGEST_SHOWN]), status_of(error)
    return redirect("/", 303)


def _badge(text: str) -> str:
    label = read_label(text, "badge")
    if label.kind != "badge":
        raise BadInput(
            "badge-other-kind", "badge", f"badge={label.code} is a {label.kind}'s label; scan your own badge"
        )
    with db.session() as held:
        found = people.person(held, label.code)
    if not found.active:
        raise BadInput(
            "badge-inactive", "badge", f"badge={label.code}: {found.name} no longer works here; ask a manager"
        )
    return found.code
