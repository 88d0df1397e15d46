"""Who is working on this phone: begun with a badge and a PIN, locked when it is left lying, given back.

One page for all of it. Scripts ask for JSON and get no page: the view that locks a page goes on without leaving it.
"""

from flask import Response, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import BadInput, BaybookError, NotAllowed
from webapp.core.labels import read_badge
from webapp.core.view.shop import badge_view, pin_view
from webapp.messages import say
from webapp.storage import people
from webapp.storage.tables import Person
from webapp.web import db
from webapp.web.jobs import pages
from webapp.web.jobs.page import page
from webapp.web.refusals import status_of
from webapp.web.who import current_person, holder, is_locked, lock_now, pin_fits, set_person

LONGEST_SHOWN = 200


@pages.get("/badge")
def show_badge() -> AnyResponse:
    to = onwards(request.args.get("to", ""))
    code = holder()
    if code and is_locked():
        with db.session() as held:
            found = people.by_badge(held, code)
        if found:
            return _pin_page(found.name, "", to)
    return _badge_page(to)


@pages.post("/badge")
def take_badge() -> AnyResponse:
    form = request.form
    to = onwards(form.get("to", ""))
    if "leave" in form:
        set_person(None)
        return redirect("/badge", 303)
    if "lock" in form:
        lock_now()
        return redirect("/badge" + (f"?to={to}" if to else ""), 303)
    if "other" in form:
        return _badge_page(to)
    if "used" in form:
        return Response(status=403 if is_locked() else 204)
    badge, pin = form.get("badge", ""), form.get("pin", "")
    if pin and not pin.isdecimal():  # the one field takes a badge, too: somebody else begins
        badge, pin = pin, ""
    return _begin(badge, pin, to)


def onwards(to: str) -> str:
    """The page of this shop to go on to, or nothing."""
    return to if to.startswith("/") and not to.startswith(("//", "/\\")) and to.isprintable() else ""


def _begin(badge: str, pin: str, to: str) -> AnyResponse:
    """With a badge and no PIN yet, ask for it; with both, or with the PIN of whoever has the phone, let them begin."""
    try:
        found = _person(badge) if badge or not pin else _holder()
    except BaybookError as error:
        return _told(error) or _badge_page(to, error.message, badge[:LONGEST_SHOWN], status_of(error))
    if not pin:
        return _pin_page(found.name, badge, to)
    try:
        if not pin_fits(found, pin):
            raise NotAllowed("pin-wrong", "pin", f"pin is not that of {found.name}; type it again")
    except BaybookError as error:
        return _told(error) or _pin_page(found.name, badge, to, error.message, status_of(error))
    set_person(found.code)
    return Response(status=204) if _wants_json() else redirect(to or "/", 303)


def _person(badge: str) -> Person:
    """Whoever's badge that is. Raises BadInput or NotFound."""
    code = read_badge(badge)
    with db.session() as held:
        return _may_begin(people.person(held, code))


def _holder() -> Person:
    """Whoever had the phone when it was locked."""
    code = holder()
    if code is None:
        raise BadInput("badge-missing", "badge", "badge is empty; scan your badge, then type your PIN")
    with db.session() as held:
        return _may_begin(people.person(held, code))


def _may_begin(found: Person) -> Person:
    if not found.active:
        raise BadInput(
            "badge-inactive", "badge", f"badge={found.code}: {found.name} no longer works here; ask a manager"
        )
    if not found.pin_hash:
        what = (
            f"badge={found.code}: {found.name} has no PIN yet; a supervisor or a manager gives one on the people's page"
        )
        raise BadInput("pin-missing", "badge", what)
    return found


def _wants_json() -> bool:
    return request.accept_mimetypes.best == "application/json"


def _told(error: BaybookError) -> Response | None:
    """To a script, the refusal itself: `web.refusals` makes JSON of it."""
    if _wants_json():
        raise error
    return None


def _badge_page(to: str, error: str | None = None, text: str = "", status: int = 200) -> Response:
    person = current_person()
    name, role = (person.name, person.role) if person else (None, None)
    return page("badge-title", badge_view(name, role, say, error, text, to), status)


def _pin_page(name: str, badge: str, to: str, error: str | None = None, status: int = 200) -> Response:
    return page("badge-title", pin_view(name, badge, say, error, to), status)
