"""The session's cookie, whose seal is checked once and then known by its text, with the other cookies beside it."""

from time import monotonic

from flask import Flask, Request, Response
from flask.sessions import SecureCookieSession, SecureCookieSessionInterface, SessionMixin

KNOWN_S = 60.0
"""So long a cookie counts as checked: by so much it may outlive its lifetime of days."""
MOST = 1000


class Remembered(SecureCookieSessionInterface):
    """As Flask's own. Checking the same seal again took a tenth of every tap."""

    def __init__(self) -> None:
        self._checked: dict[str, tuple[float, dict[str, object]]] = {}

    def open_session(self, app: Flask, request: Request) -> SecureCookieSession | None:
        text = request.headers.get("Cookie", "")  # all of them, since taking them apart costs as much as the rest here
        at, said = self._checked.get(text, (-KNOWN_S, {}))
        if text and monotonic() - at < KNOWN_S:
            return SecureCookieSession(said)
        opened = super().open_session(app, request)
        if text and opened:
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
