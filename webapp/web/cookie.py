"""The session's cookie, whose seal is checked once and then known by its text, with the other cookies beside it.

Over https a cookie's name begins with `__Host-`: the browser then takes it from this very host alone, and no other host
of the same domain can plant one. Over plain http no browser takes such a name.
"""

from hashlib import sha256
from time import monotonic

from flask import Flask, Request, Response
from flask.sessions import SecureCookieSession, SecureCookieSessionInterface, SessionMixin
from werkzeug.wrappers import Response as AnyResponse

from webapp.web.scheme import over_https

KNOWN_S = 60.0
"""So long a cookie counts as checked: by so much it may outlive its lifetime of days."""
MOST = 1000


def named(cookie: str) -> str:
    """What a cookie of ours is called over the scheme that this request came by."""
    return f"__Host-{cookie}" if over_https() else cookie


class Remembered(SecureCookieSessionInterface):
    """As Flask's own, sealed with SHA-256. Checking the same seal again took a tenth of every tap."""

    digest_method = staticmethod(sha256)

    def __init__(self) -> None:
        self._checked: dict[tuple[bool, str], tuple[float, dict[str, object]]] = {}

    def get_cookie_name(self, app: Flask) -> str:
        return named(app.config["SESSION_COOKIE_NAME"])

    def get_cookie_secure(self, _app: Flask) -> bool:
        return over_https()

    def open_session(self, app: Flask, request: Request) -> SecureCookieSession | None:
        # All cookies, since taking them apart costs as much as the rest here; and by which name ours is looked for.
        text = over_https(), request.headers.get("Cookie", "")
        at, said = self._checked.get(text, (-KNOWN_S, {}))
        if text[1] and monotonic() - at < KNOWN_S:
            return SecureCookieSession(said)
        opened = super().open_session(app, request)
        # A list in it, as of messages that wait for the next page, would be the same one in each copy.
        if text[1] and opened and all(isinstance(one, str | int | None) for one in opened.values()):
            if len(self._checked) >= MOST:
                self._checked.clear()
            self._checked[text] = monotonic(), dict(opened)
        return opened

    def save_session(self, app: Flask, session: SessionMixin, response: Response) -> None:
        """Most answers set no cookie; then all there is to say is that the answer hangs on it."""
        if session.modified or app.config["SESSION_REFRESH_EACH_REQUEST"]:
            super().save_session(app, session, response)
        elif session.accessed:
            said = response.headers.get("Vary")
            response.headers["Vary"] = f"{said}, Cookie" if said else "Cookie"


def keep(response: AnyResponse, cookie: str, value: str, kept_s: int) -> None:
    """Have the browser keep this under that name: out of any script's sight, and told to no other site's forms."""
    secure = over_https()
    response.set_cookie(named(cookie), value, max_age=kept_s, httponly=True, samesite="Lax", secure=secure)
