"""In which language a browser is answered: the one chosen on its pages, else the first it asks for, else English."""

from functools import lru_cache
from typing import cast

from flask import Flask, Response, current_app, redirect, request
from werkzeug.datastructures import LanguageAccept
from werkzeug.http import parse_accept_header, parse_cookie
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import BadInput, shown
from webapp.messages import ENGLISH, languages, speak, tongue
from webapp.stocks import Stocks
from webapp.web import cookie

COOKIE = "language"
KEPT_S = 400 * 24 * 3600
"""As long as a browser keeps a cookie at most."""


def choose() -> None:
    """Before every request: what is said while it is answered is said in this language."""
    known = cast(Stocks, current_app.extensions["stocks"]).tongues
    headers = request.headers
    speak(known[_wanted(headers.get("Cookie", ""), headers.get("Accept-Language", ""))])


@lru_cache(maxsize=1000)
def _wanted(cookies: str, header: str) -> str:
    """The language chosen, else the one that a browser would like best of those there are: its own variant, or the
    language alone.
    """
    known = languages()
    kept = parse_cookie(cookies)
    chosen = kept.get(f"__Host-{COOKIE}") or kept.get(COOKIE, "")
    asked = (chosen, *parse_accept_header(header, LanguageAccept).values())
    return next((one for asks in asked for one in (asks, asks.split("-")[0]) if one in known), ENGLISH)


def take_choice() -> AnyResponse:
    """Keep the choice with this browser, and go back to where it was made."""
    wanted, back = request.form.get("language", ""), request.form.get("back", "/")
    if wanted not in languages():
        known = ", ".join(languages())
        raise BadInput("language-unknown", "language", f"language={shown(wanted)} is not here; choose one of {known}")
    answer = redirect(back if back.startswith("/") and not back.startswith(("//", "/\\")) else "/", 303)
    cookie.keep(answer, COOKIE, wanted, KEPT_S)
    return answer


@lru_cache
def choices(spoken: str) -> list[dict[str, object]]:
    """What the foot of a page offers: every language by its own name."""
    return [{"code": code, "name": name, "here": code == spoken} for code, name in languages().items()]


def tell(response: Response) -> Response:
    """A page that is kept somewhere must not come to somebody who reads another language."""
    if response.mimetype == "text/html":
        response.headers["Content-Language"] = tongue().code
    return response


def register(app: Flask) -> None:
    app.before_request(choose)
    app.after_request(tell)
    app.add_url_rule("/language", view_func=take_choice, methods=["POST"])
