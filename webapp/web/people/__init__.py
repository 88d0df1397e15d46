"""The people's pages: who works here, as what, with which badge."""

from collections.abc import Sequence

from flask import Blueprint, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from webapp.core.errors import BadInput, BaybookError, shown
from webapp.core.procedure import Procedure
from webapp.messages import say
from webapp.storage import people
from webapp.storage.first import is_new, use_up
from webapp.storage.tables import ROLES
from webapp.web import db
from webapp.web.labels.print import badge
from webapp.web.people.sign import need_signature
from webapp.web.refusals import status_of
from webapp.web.rights import MAY_CHANGE, may_change, need_supervisor
from webapp.web.who import set_person
from webapp.web.worded import library

pages = Blueprint("people", __name__, url_prefix="/people", template_folder="templates")

Answer = str | Response | tuple[str, int]


@pages.get("")
def everyone() -> str:
    with db.session() as held:
        return render_template(
            "people/list.html", people=people.everyone(held), may_change=may_change() or is_new(held)
        )


@pages.get("/new")
def ask_new() -> Answer:
    return _new_page(None)


@pages.post("/new")
def add() -> Answer:
    form = request.form
    try:
        first = need_signature(form)
        _need_pin(form.get("role", ""), form.get("pin", ""), first)
        with db.writing() as held:
            added = people.add_person(
                held, form.get("name", ""), form.get("role", ""), form.get("pin", ""), form.get("code", "").strip()
            )
    except BaybookError as error:
        return _new_page(error)
    if first:
        _use_up_first_code()
        set_person(added.code)  # nobody could print them a badge otherwise
    return redirect(url_for("people.one", code=added.code), 303)


@pages.get("/<code>")
def one(code: str) -> Answer:
    return _person_page(code, None)


@pages.post("/<code>")
def change(code: str) -> Answer:
    form = request.form
    try:
        first = need_signature(form)
        with db.writing() as held:
            people.change_person(
                held,
                code,
                name=form.get("name", ""),
                role=form.get("role", ""),
                active=form.get("active") == "yes",
                short=_short(form.getlist("short")),
            )
            if form.get("pin"):
                people.set_pin(held, code, form["pin"])
        if first:
            _use_up_first_code()
    except BaybookError as error:
        return _person_page(code, error)
    return redirect(url_for("people.everyone"), 303)


def _use_up_first_code() -> None:
    with db.session() as held:
        still_new = is_new(held)
    if not still_new:
        use_up(db.settings().data)


def _need_pin(role: str, pin: str, first: bool) -> None:
    if first and role in ROLES and role not in MAY_CHANGE:
        what = (
            f"role={shown(role)} cannot be the first one: add a supervisor or a manager first, who signs for the others"
        )
        raise BadInput("person-first", "role", what)
    if role in MAY_CHANGE and not pin:
        raise BadInput("person-pin", "pin", "pin is empty: a supervisor or a manager signs with 4 to 8 digits")


def _short(names: list[str]) -> list[str]:
    for name in names:
        if name not in db.library().procedures:
            what = f"short={shown(name)} is none of the procedures here; load this page anew and tick again"
            raise BadInput("procedure-unknown", "short", what)
    return names


def _procedures(short: Sequence[str]) -> list[tuple[str, list[tuple[str, str, bool]]]]:
    """Calibrations first, then what comes before and after them: each with its title, and whether it is ticked."""
    every = library().procedures.values()
    words = ((True, say("people-short-calibrations")), (False, say("people-short-around")))
    return [
        (
            heading,
            [(one.procedure, one.title, one.procedure in short) for one in every if wanted is is_calibration(one)],
        )
        for wanted, heading in words
    ]


def is_calibration(one: Procedure) -> bool:
    return one.sort == "calibration"


def _roles() -> list[tuple[str, str]]:
    return [(role, say(f"role-{role}")) for role in ROLES]


def _new_page(refused: BaybookError | None) -> tuple[str, int]:
    with db.session() as held:
        new = is_new(held)
    form = request.form if refused else {"role": "manager" if new else "technician"}
    page = render_template("people/new.html", form=form, refused=refused, roles=_roles(), shop_is_new=new)
    return page, status_of(refused) if refused else 200


def _person_page(code: str, refused: BaybookError | None) -> tuple[str, int]:
    with db.session() as held:
        person = people.person(held, code)
        new = is_new(held)
    if not new:
        need_supervisor()  # a badge's code is as good as the badge, so it is not shown to everybody
    known = {"name": person.name, "role": person.role, "active": "yes" if person.active else "no"}
    short = request.form.getlist("short") if refused else people.read_of(person.short)
    page = render_template(
        "people/person.html",
        person=person,
        form=request.form if refused else known,
        refused=refused,
        roles=_roles(),
        procedures=_procedures(short),
        short_count=len(short),
        label=badge(person),
        shop_is_new=new,
    )
    return page, status_of(refused) if refused else 200


from webapp.web.people import competence  # noqa: E402, F401 - its routes hang themselves on `pages`
