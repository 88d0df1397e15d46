"""The checklist: the step at hand, its neighbours, and the one route that takes every tap."""

from collections.abc import Callable
from functools import partial
from typing import Any

from flask import Response, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import BaybookError, NotFound, shown
from webapp.core.kinds.common import Person
from webapp.core.short import procedure_of
from webapp.core.state import Clock
from webapp.core.view import job_page, more_page, pause_page, reads, step_page, steps_page, trouble_page
from webapp.core.view.measures import NOTHING_KNOWN
from webapp.core.view.short import for_reader
from webapp.core.view.typed import typed
from webapp.core.view.witness import for_witness
from webapp.messages import say, sentence
from webapp.storage import people
from webapp.storage.jobs import job_of
from webapp.storage.kit import kit
from webapp.storage.progress import Progress, progress_of, remember
from webapp.web import db, forms, moment, mustache
from webapp.web.jobs import pages
from webapp.web.jobs.apart import apart_of, waits_of
from webapp.web.jobs.given import form, moment_of, photo_of
from webapp.web.jobs.page import locking
from webapp.web.jobs.taps import tap
from webapp.web.refusals import status_of
from webapp.web.scheme import over_plain_http
from webapp.web.who import badge, current_person, need_unlocked
from webapp.web.worded import in_words

View = dict[str, Any]


@pages.get("/jobs/<job_id>")
def show_job(job_id: str) -> AnyResponse:
    with db.session() as held:
        job = job_of(held, job_id)
        if job.sheet is None:
            return redirect(f"/jobs/{job_id}/{'plan' if job.phase == 'planning' else 'drop'}")
        progress = progress_of(held, job_id)
    remember(job_id, progress)
    return _page(progress, _job_page(progress, moment.now(), again="again" in request.args), reader=current_person())


@pages.post("/jobs/<job_id>")
def act_on_job(job_id: str) -> AnyResponse:
    """Every tap. With htmx the answer is the next page's content; a plain form is sent on to it."""
    given = form()
    try:
        forms.need_token()
        need_unlocked()
        if given.get("do") == "texts":
            return _choose_texts(job_id, given)
        when = moment_of(given, job_id)
        photo = photo_of(given)
        return tap(job_id, given, when, photo, partial(_answer, when.clock))
    except BaybookError as error:
        return _refused(job_id, given, error)


def _choose_texts(job_id: str, given: dict[str, str]) -> AnyResponse:
    """The short or the full text from now on: a choice of whoever reads, not an event of the job."""
    at = _progress(job_id)
    procedure = procedure_of(at.sheet, given.get("step", ""))
    with db.writing() as held:
        reader = people.choose_texts(held, badge(), procedure, given.get("texts", ""))
    if "HX-Request" not in request.headers:
        return redirect(f"/jobs/{job_id}", 303)
    return _page(at, _job_page(at, moment.now(), again="again" in given), reader=reader)


def _answer(now: Clock, at: Progress, reader: Person | None, stale: bool) -> AnyResponse:
    if not stale and "HX-Request" not in request.headers:
        return redirect(f"/jobs/{at.sheet['job']['id']}", 303)
    page = _job_page(at, now)
    return _page(at, page | {"notice": say("job-stale") if stale else None}, 409 if stale else 200, reader)


def _job_page(at: Progress, now: Clock, again: bool = False) -> View:
    """The step at hand. Only a step that asks for readings needs to know the kit."""
    shop = NOTHING_KNOWN
    if reads(at.sheet, at.state):
        with db.session() as held:
            shop = kit(held), moment.today()
    page = job_page(in_words(at.sheet), at.state, now, say, again, shop)
    if "finish" in page and (waits := waits_of(at)):
        page["finish"]["waits"] = waits
    return page


def _refused(job_id: str, given: dict[str, str], error: BaybookError) -> Response:
    """The same page again, with what was typed and what is wrong with it. Nothing is lost."""
    progress = _progress(job_id)
    panel = _PANELS.get(given.get("do", ""))
    page = panel(progress, given) if panel else None
    if page is None:
        page = _job_page(progress, moment.now(), again=given.get("do") == "measure")
    step = page.get("step") or {}
    for field in (step.get("measure") or {}).get("fields", []):
        field |= {"value": given.get(field["name"], ""), "wrong": field["name"] == error.field}
    locked = {"locked": True} if error.code == "phone-locked" else {}
    page |= typed(given, error.field) | {"error": sentence(error.message), **locked}
    return _page(progress, page, status_of(error), current_person())


_PANELS: dict[str, Callable[[Progress, dict[str, str]], View | None]] = {
    "undo": lambda at, given: step_page(in_words(at.sheet), at.state, given.get("step", ""), moment.now(), say),
    "pause": lambda at, _given: pause_page(in_words(at.sheet), at.state, moment.now(), say),
    "trouble": lambda at, _given: trouble_page(in_words(at.sheet), at.state, moment.now(), say),
    "note": lambda at, _given: more_page(in_words(at.sheet), at.state, moment.now(), say),
    "leave-undone": lambda at, _given: more_page(in_words(at.sheet), at.state, moment.now(), say),
    "abandon": lambda at, _given: more_page(in_words(at.sheet), at.state, moment.now(), say),
}


@pages.get("/jobs/<job_id>/steps")
def show_steps(job_id: str) -> Response:
    at = _progress(job_id)
    return _page(at, steps_page(in_words(at.sheet), at.state, moment.now(), say))


@pages.get("/jobs/<job_id>/steps/<path:name>")
def show_step(job_id: str, name: str) -> Response:
    at = _progress(job_id)
    page = step_page(in_words(at.sheet), at.state, name, moment.now(), say)
    if page is None:
        message = f"step={shown(name)} is not on this job's sheet, or does not stand with the answers given"
        raise NotFound("step-unknown", "step", message)
    return _page(at, page, reader=current_person())


@pages.get("/jobs/<job_id>/pause")
def show_pause(job_id: str) -> Response:
    at = _progress(job_id)
    return _page(at, pause_page(in_words(at.sheet), at.state, moment.now(), say))


@pages.get("/jobs/<job_id>/trouble")
def show_trouble(job_id: str) -> Response:
    at = _progress(job_id)
    return _page(at, trouble_page(in_words(at.sheet), at.state, moment.now(), say))


@pages.get("/jobs/<job_id>/more")
def show_more(job_id: str) -> Response:
    at = _progress(job_id)
    return _page(at, more_page(in_words(at.sheet), at.state, moment.now(), say))


def _progress(job_id: str) -> Progress:
    with db.session() as held:
        return progress_of(held, job_id)


def _page(at: Progress, page: View, status: int = 200, reader: Person | None = None) -> Response:
    """A page of the job. One that shows a step needs its reader, who reads the full or the short text of it."""
    page = for_witness(for_reader(page, in_words(at.sheet), reader), reader)
    page |= apart_of(page["job"], at)
    page |= {"truth": {"class": "agree", "text": say("job-kept")}, "plain_http": over_plain_http()}
    page |= {"token": forms.token()}
    if "HX-Request" in request.headers:
        return Response(mustache.render("job", page), status, mimetype="text/html")
    page |= locking(current_person())
    return Response(mustache.render("page", page), status, mimetype="text/html")
