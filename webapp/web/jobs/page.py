"""The pages around the jobs, as the phone gives them too: a view of the core in one frame."""

from typing import Any

from flask import Response, make_response, request

from webapp.core.intake import ABOUT, Facts
from webapp.core.kinds.common import Person
from webapp.core.view.lock import lock_view
from webapp.core.view.shop import shop_page
from webapp.messages import say, sentence
from webapp.storage.tables import Job
from webapp.web import db, forms, mustache
from webapp.web.scheme import over_plain_http
from webapp.web.who import current_person


def page(title: str, content: dict[str, Any], status: int = 200) -> Response:
    """Render a page's view; `title` is the name of a message."""
    person = current_person()
    for part in content.values():
        if isinstance(part, dict) and part.get("error"):
            part["error"] = sentence(part["error"])
    view = shop_page(request.path, say(title), person.name if person else None, content, say) | locking(person)
    about = {"plain_http": over_plain_http(), "token": forms.token()}
    return make_response(mustache.render("shop", view | about), status)


def locking(person: Person | None) -> dict[str, Any]:
    """What a page needs to lock itself when nobody touches it."""
    return lock_view(person.name if person else None, db.settings().lock_after_s, say)


def lock() -> str:
    """The same for the pages that only the shop has."""
    view = locking(current_person())
    return mustache.render("lock", view["lock"] | {"token": forms.token()}) if view else ""


def facts_of(job: Job) -> Facts:
    """What is known of a job, as the core has it."""
    return {name: getattr(job, name) for name in (*ABOUT, "vehicle", "plan", "phase")}
