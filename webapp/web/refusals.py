"""How a refusal looks: one page, one JSON shape, whatever was refused and wherever."""

from flask import Flask, Response, jsonify, make_response, render_template, request
from werkzeug.exceptions import HTTPException, RequestEntityTooLarge

from webapp.core import errors
from webapp.messages import say

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
    return make_response(render_template("refused.html", message=message, status=status), status)


def _refused(error: errors.BaybookError) -> Response:
    return _page(status_of(error), error.message, dict(error.as_dict()))


def _too_large(_error: RequestEntityTooLarge) -> Response:
    refused = errors.BadInput("upload-too-large", "photo", say("upload-too-large"))
    return _page(413, refused.message, dict(refused.as_dict()))


def _http(error: HTTPException) -> Response:
    status = error.code or 500
    message = say("page-unknown", path=request.path[:80]) if status == 404 else str(error.description)
    return _page(status, message, {"error": {"code": f"http-{status}", "field": "", "message": message}})


def register(app: Flask) -> None:
    app.register_error_handler(errors.BaybookError, _refused)
    app.register_error_handler(RequestEntityTooLarge, _too_large)
    app.register_error_handler(HTTPException, _http)
