"""How this room's routes read a request and answer it: errors as JSON, bodies within their limit, pieces of photos."""

from typing import cast

from flask import Blueprint, Response, current_app, jsonify, make_response, request
from sqlalchemy import Engine
from werkzeug.exceptions import RequestEntityTooLarge

from webapp.config import Settings
from webapp.core import errors
from webapp.sync.signed import NotSigned

STATUS = {
    NotSigned: 401,
    errors.NotAllowed: 403,
    errors.NotFound: 404,
    errors.Conflict: 409,
    errors.Unavailable: 503,
}
TOO_LARGE = ("batch-too-large", "bundle-too-large", "piece-too-large", "photo-too-large")
UNKNOWN = ("device-unknown", "shop-unknown")


def refused_as_json(routes: Blueprint) -> None:
    """Let a blueprint answer what is refused in the one shape of errors, and keep nothing of it in caches."""
    routes.register_error_handler(errors.BaybookError, refused)
    routes.register_error_handler(RequestEntityTooLarge, too_large)
    routes.after_request(not_kept)


def refused(error: errors.BaybookError) -> Response:
    status = next((status for kind, status in STATUS.items() if isinstance(error, kind)), 400)
    if error.code in UNKNOWN:
        status = 401
    answer = make_response(jsonify(error.as_dict()), 413 if error.code in TOO_LARGE else status)
    if status == STATUS[errors.Unavailable]:
        answer.headers["Retry-After"] = "1"
    return answer


def too_large(_error: RequestEntityTooLarge) -> Response:
    message = f"body is larger than the {request.max_content_length} bytes that are taken here; send less at once"
    return refused(errors.BadInput("batch-too-large", "body", message))


def not_kept(response: Response) -> Response:
    response.headers.setdefault("Cache-Control", "no-store")
    return response


def engine() -> Engine:
    return cast(Engine, current_app.extensions["engine"])


def settings() -> Settings:
    return cast(Settings, current_app.extensions["settings"])


def body_of(most: int) -> bytes:
    request.max_content_length = most
    return request.get_data(cache=False)


def whole_number(name: str) -> int:
    """A header that says a number of bytes. Raises BadInput (`not-a-number`)."""
    text = request.headers.get(name, "")
    if not (text.isascii() and text.isdigit() and len(text) < 12):
        raise errors.BadInput("not-a-number", name, f"{name}={errors.shown(text)} must be a whole number of bytes")
    return int(text)


def piece_answer(offset: int, whole: bool) -> Response:
    return Response(status=204, headers={"Upload-Offset": str(offset), "Upload-Complete": "?1" if whole else "?0"})
