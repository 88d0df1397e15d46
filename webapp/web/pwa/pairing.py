"""Pairing a phone: a supervisor has a code made, and the phone is paired with it. Who is working, for the phone."""

from dataclasses import asdict

from flask import Response, jsonify, render_template

from webapp.storage import devices
from webapp.web import db, forms, moment
from webapp.web.pwa import pages
from webapp.web.rights import may_change, need_supervisor
from webapp.web.who import current_person


@pages.get("/phone/pair")
def show_pairing() -> str:
    return render_template("pwa/pair.html", code=None, may_make=may_change())


@pages.post("/phone/codes")
def make_code() -> str:
    """A code for one phone, good for ten minutes. It is shown here and never again."""
    need_supervisor()
    person = current_person()
    with db.writing() as held:
        code = devices.make_code(held, person.code if person else "", moment.now().at)
    return render_template("pwa/pair.html", code=f"{code[:4]}-{code[4:]}", may_make=True)


@pages.get("/phone/token")
def show_token() -> Response:
    """{token}: what the forms of this browser carry, for the worker that draws pages here too."""
    answer = jsonify(token=forms.token())
    answer.headers["Cache-Control"] = "no-store"
    return answer


@pages.get("/phone/who")
def show_person() -> Response:
    """{person}: whose badge was scanned on this phone, or null."""
    person = current_person()
    answer = jsonify(person=asdict(person) if person else None)
    answer.headers["Cache-Control"] = "no-store"
    return answer
