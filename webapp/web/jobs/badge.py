"""Who is working on this phone: a badge scanned, or nobody."""

from flask import Response, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import BadInput, BaybookError
from webapp.core.labels import read_badge
from webapp.core.view.shop import badge_view
from webapp.messages import say
from webapp.storage import people
from webapp.web import db
from webapp.web.jobs import pages
from webapp.web.jobs.page import page
from webapp.web.refusals import status_of
from webapp.web.who import current_person, set_person

LONGEST_SHOWN = 200


@pages.get("/badge")
def show_badge() -> Response:
    return _page()


@pages.post("/badge")
def take_badge() -> AnyResponse:
    if "leave" in request.form:
        set_person(None)
        return redirect("/badge", 303)
    text = request.form.get("badge", "")
    try:
        set_person(_badge(text))
    except BaybookError as error:
        return _page(error.message, text[:LONGEST_SHOWN], status_of(error))
    return redirect("/", 303)


def _page(error: str | None = None, text: str = "", status: int = 200) -> Response:
    person = current_person()
    name, role = (person.name, person.role) if person else (None, None)
    return page("badge-title", badge_view(name, role, say, error, text), status)


def _badge(text: str) -> str:
    code = read_badge(text)
    with db.session() as held:
        found = people.person(held, code)
    if not found.active:
        raise BadInput("badge-inactive", "badge", f"badge={code}: {found.name} no longer works here; ask a manager")
    return found.code
