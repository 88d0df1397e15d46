"""Who works which calibration alone: said by a supervisor, with a reason and a PIN, and kept as it was said."""

from flask import redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from webapp.core.competence import LEVELS
from webapp.core.errors import BadInput, BaybookError, shown
from webapp.messages import say
from webapp.storage import competence, people
from webapp.web import db, moment
from webapp.web.people import is_calibration, pages
from webapp.web.people.sign import need_signature
from webapp.web.refusals import status_of
from webapp.web.rights import need_supervisor
from webapp.web.who import badge
from webapp.web.worded import library


@pages.get("/<code>/competence")
def show_competence(code: str) -> tuple[str, int]:
    return _page(code, None)


@pages.post("/<code>/competence")
def say_competence(code: str) -> Response | tuple[str, int]:
    form = request.form
    try:
        need_signature(form)
        calibration = form.get("calibration", "")
        if calibration not in _titles():
            what = f"calibration={shown(calibration)} is no calibration here; choose one of the list"
            raise BadInput("calibration-unknown", "calibration", what)
        with db.writing() as held:
            competence.say_level(
                held, code, calibration, form.get("level", ""), badge() or "", moment.now().at, form.get("reason", "")
            )
    except BaybookError as error:
        return _page(code, error)
    return redirect(url_for("people.show_competence", code=code), 303)


def _titles() -> dict[str, str]:
    return {name: one.title for name, one in library().procedures.items() if is_calibration(one)}


def _page(code: str, refused: BaybookError | None) -> tuple[str, int]:
    need_supervisor()
    titles, enough = _titles(), db.settings().alone_after
    with db.session() as held:
        person = people.person(held, code)
        found = competence.standings(held, code, list(titles), enough)
        said = competence.said_of(held, code)
        names = {one.code: one.name for one in people.everyone(held)}
    proposed = next((one.calibration for one in found if one.proposed), "")
    page = render_template(
        "people/competence.html",
        person=person,
        titles=titles,
        standings=found,
        enough=enough,
        said=said,
        names=names,
        day=lambda at: f"{moment.local(at):%Y-%m-%d %H:%M}",
        levels=[(level, say(f"competence-{level}")) for level in reversed(LEVELS)],
        form=request.form if refused else {"calibration": proposed, "level": "alone"},
        refused=refused,
    )
    return page, status_of(refused) if refused else 200
