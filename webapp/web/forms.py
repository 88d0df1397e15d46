"""Anti-forgery tokens: every form carries one, and what another site could make a browser send is refused without it.

A browser keeps a random name in a cookie that no script reads; the token is that name under the server's secret. So a
token is good in one browser, and whoever could plant a cookie could not make the token to it. A paired phone's worker
asks for the token once (`GET /phone/token`), writes it into the pages that it draws, and checks it on what they send.
"""

import hmac
import re
from base64 import urlsafe_b64encode
from functools import lru_cache
from hmac import compare_digest
from secrets import token_urlsafe

from flask import Flask, Response, current_app, g, request
from markupsafe import Markup
from werkzeug.exceptions import RequestEntityTooLarge
from werkzeug.http import parse_cookie

from webapp.core.errors import NotAllowed
from webapp.web import cookie
from webapp.web.guard import SAFE
from webapp.web.scheme import over_https

COOKIE = "form"
FIELD = "token"
HEADER = "Baybook-Form"
KEPT_S = 400 * 24 * 3600
"""As long as a browser keeps a cookie at most."""
PLAIN_BYTES = 20_000
LETTERS = 22
CARRIED = re.compile(rb"(?:^|&)token=([A-Za-z0-9_-]{22})(?=&|$)")

PLAIN_FORM = "application/x-www-form-urlencoded"
SENT_UNASKED = (PLAIN_FORM, "multipart/form-data", "text/plain", "")
"""What a browser sends for another site's page without asking us first; all else it asks for, and we never say yes."""
PHONES = "Baybook "
"""How the Authorization begins with which a phone signs what it asks: no other site's page can send one unasked."""


def token() -> str:
    """The token of the browser that asks. One that has none yet gets its cookie with this answer."""
    name = _name()
    if name is None:
        name = g.form_name = token_urlsafe(16)
    return token_of(current_app.config["SECRET_KEY"], name)


def field() -> Markup:
    """The hidden field that every form of a page begins with."""
    return Markup('<input type="hidden" name="{}" value="{}">').format(FIELD, token())


class Unmarked(NotAllowed):
    """A form without the token of the browser that sent it: its page offers to send it again, with all that it says."""


def need_token() -> None:
    """Refuse what a browser may have sent for another site's page, unless it carries the token.

    Raises:
        Unmarked: `form-token`.
    """
    if request.method in SAFE or not _may_be_unasked():
        return
    try:
        name, said = _name(), _carried()
    except RequestEntityTooLarge:
        if request.endpoint in current_app.config["LARGER_UPLOADS"]:
            return  # it reads no more of its form than was read here, and then says how large the file may be
        raise
    if name is None or not said or not compare_digest(said, token_of(current_app.config["SECRET_KEY"], name)):
        message = (
            "token: this form is too old, or was not made for this browser; nothing was done, send it again from here"
        )
        raise Unmarked("form-token", FIELD, message)


def _may_be_unasked() -> bool:
    return request.mimetype in SENT_UNASKED and not request.headers.get("Authorization", "").startswith(PHONES)


def _carried() -> str:
    if (told := request.headers.get(HEADER)) is not None:
        return told if told.isascii() else ""
    if request.mimetype == PLAIN_FORM and (request.content_length or 0) <= PLAIN_BYTES:
        found = CARRIED.search(
            request.get_data()
        )  # a tap's few fields: a third of the time that all of them would take
        return found[1].decode() if found else ""
    if most := current_app.config["LARGER_UPLOADS"].get(request.endpoint):
        request.max_content_length = most
    said = request.form.get(FIELD, "")
    return said if said.isascii() else ""


def _name() -> str | None:
    """What this browser is called; None where it has no cookie yet."""
    made: str | None = g.get("form_name")
    return made or _kept(request.headers.get("Cookie", ""), over_https())


@lru_cache(maxsize=1000)
def _kept(cookies: str, https: bool) -> str | None:
    return parse_cookie(cookies).get(f"__Host-{COOKIE}" if https else COOKIE) or None


@lru_cache(maxsize=1000)
def token_of(secret: str, name: str) -> str:
    digest = hmac.digest(secret.encode(), b"form\n" + name.encode(), "sha256")
    return urlsafe_b64encode(digest).decode()[:LETTERS]


def _keep_name(response: Response) -> Response:
    if name := g.get("form_name"):
        cookie.keep(response, COOKIE, name, KEPT_S)
    return response


def register(app: Flask) -> None:
    app.after_request(_keep_name)
    app.jinja_env.globals.update(token_field=field)
