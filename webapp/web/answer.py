"""Flask as this server runs it: no view is a coroutine, and an answer that is ready goes out in one piece."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

from flask import Flask, Response

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIEnvironment


class Answer(Response):
    """As Flask's own. From an iterator the server would fetch piece by piece, with a change of thread for each."""

    def get_app_iter(self, environ: WSGIEnvironment) -> Iterable[bytes]:
        parts = super().get_app_iter(environ)
        if not self.is_sequence:
            return parts
        whole = list(parts)
        self.close()
        return whole


class Application(Flask):
    """As Flask's own."""

    response_class = Answer

    def ensure_sync(self, func: Callable[..., Any]) -> Callable[..., Any]:
        """Nothing here is async, and asking that of every function at every request costs as much as a form."""
        return func
