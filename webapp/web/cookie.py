"""The session's cookie, whose seal is checked once and then known by its text."""

from time import monotonic

from flask import Flask, Request
from flask.sessions import SecureCookieSession, SecureCookieSessionInterface

KNOWN_S = 60.0
"""So long a cookie counts as checked: by so much it may outlive its lifetime of days."""
MOST = 1000


class Remembered(SecureCookieSessionInterface):
    """As Flask's own. Checking the same seal again took a tenth of every tap."""

    def __init__(self) -> None:
        self._checked: dict[str, tuple[float, dict[str, object]]] = {}

    def open_session(self, app: Flask, request: Request) -> SecureCookieSession | None:
        text = request.cookies.get(self.get_cookie_name(app), "")
        at, said = self._checked.get(text, (-KNOWN_S, {}))
        if text and monotonic() - at < KNOWN_S:
            return SecureCookieSession(said)
        opened = super().open_session(app, request)
        if text and opened:
            if len(self._checked) >= MOST:
                self._checked.clear()
            self._checked[text] = monotonic(), dict(opened)
        return opened
