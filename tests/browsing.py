"""The test client as a browser that has been here before: what it sends carries the token of its pages' forms."""

from typing import Any

from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from webapp.web import forms

HERE_BEFORE = "a-browser-of-the-tests"


class Browser(FlaskClient):
    """Without it, every test would have to open a page before it could send a form of that page.

    A test of the tokens themselves makes a plain FlaskClient.
    """

    def open(self, *given: Any, **named: Any) -> TestResponse:
        headers = dict(named.pop("headers", None) or {})
        headers.setdefault(forms.HEADER, forms.token_of(self.application.config["SECRET_KEY"], HERE_BEFORE))
        return super().open(*given, headers=headers, **named)

    def _add_cookies_to_wsgi(self, environ: dict[str, Any]) -> None:
        super()._add_cookies_to_wsgi(environ)
        kept = [environ[name] for name in ("HTTP_COOKIE",) if environ.get(name)]
        environ["HTTP_COOKIE"] = "; ".join((*kept, f"form={HERE_BEFORE}", f"__Host-form={HERE_BEFORE}"))
