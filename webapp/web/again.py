"""A form without its token (forms.py): nothing is done, and nothing that was typed is lost."""

from flask import Flask, Response, jsonify, make_response, request

from webapp.core.view.shop import again_view
from webapp.messages import say, sentence
from webapp.web import forms
from webapp.web.jobs.page import page

ASK_THEMSELVES = ("jobs.act_on_job",)
"""A job's taps: what was typed at the step then stands on the step's own page."""


def _need_token() -> Response | None:
    if request.endpoint in ASK_THEMSELVES:
        return None
    try:
        forms.need_token()
    except forms.Unmarked as error:
        return _offer(error)
    return None


def _offer(error: forms.Unmarked) -> Response:
    """The form once more on a page of its own, with a token. A file does not come back: it has to be chosen anew."""
    if request.accept_mimetypes.best == "application/json":
        told = type(error)(error.code, error.field, sentence(error.message))
        return make_response(jsonify(told.as_dict()), 403)
    fields = [(name, value) for name, value in request.form.items(multi=True) if name != forms.FIELD]
    chosen = [name for name, file in request.files.items() if file.filename]
    return page("again-title", again_view(request.full_path.rstrip("?"), fields, chosen, say), 403)


def register(app: Flask) -> None:
    app.before_request(_need_token)
