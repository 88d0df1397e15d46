"""How a refusal looks: one page, one JSON shape, whatever was refused and wherever."""

from datetime import datetime

from flask import Flask, Response, g, jsonify, make_response, render_template, request
from sqlalchemy.exc import SQLAlchemyError
from werkzeug.exceptions import HTTPException, MethodNotAllowed, RequestEntityTooLarge

from webapp.core import errors
from webapp.messages import say, sentence
from webapp.web.who import current_person

STATUS = {
    errors.NotAllowed: 403,
    errors.NotFound: 404,
    errors.Stale: 409,
    errors.Conflict: 409,
    errors.Unavailable: 503,
}


def status_of(error: errors.BaybookError) -> int:
    return next((status for kind, status in STATUS.items() if isinstance(error, kind)), 400)


def _page(status: int, message: str, as_json: dict[str, object]) -> Response:
    if request.accept_mimetypes.best == "application/json":
        return make_response(jsonify(as_json), status)
    _know_or_do_without()
    return make_response(render_template("refused.html", message=message, status=status), status)


def _know_or_do_without() -> None:
    """The page's head names who works here. Where even that cannot be asked, the page must come all the same."""
    try:
        current_person()
    except (errors.BaybookError, SQLAlchemyError):
        g.person = None


def _refused(error: errors.BaybookError) -> Response:
    told = type(error)(error.code, error.field, sentence(error.message))
    return _page(status_of(error), told.message, dict(told.as_dict()))


def _too_large(_error: RequestEntityTooLarge) -> Response:
    refused = errors.BadInput("upload-too-large", "photo", say("upload-too-large"))
    return _page(413, refused.message, dict(refused.as_dict()))


def _http(error: HTTPException) -> Response:
    """What Flask itself refuses; and, as 500, what nobody foresaw, which Flask has written to the log by then."""
    status = error.code or 500
    message = say(
        _MESSAGES.get(status, "page-not-understood"),
        path=request.path[:80],
        at=f"{datetime.now().astimezone():%H:%M:%S}",
    )
    answer = _page(status, message, {"error": {"code": f"http-{status}", "field": "", "message": message}})
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        answer.allow.update(error.valid_methods)
    return answer


_MESSAGES = {404: "page-unknown", 405: "page-other-way", 500: "page-broken"}


def register(app: Flask) -> None:
    app.register_error_handler(errors.BaybookError, _refused)
    app.register_error_handler(RequestEntityTooLarge, _too_large)
    app.register_error_handler(HTTPException, _http)
