"""Flask as this server runs it: no view is a coroutine, and an answer that is ready goes out in one piece."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

from flask import Flask, Response, request
from werkzeug.routing import IntegerConverter

from webapp.web import logged

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIEnvironment

LARGEST_WHOLE = 2**63 - 1


class Answer(Response):
    """As Flask's own. From an iterator the server would fetch piece by piece, with a change of thread for each."""

    def get_app_iter(self, environ: WSGIEnvironment) -> Iterable[bytes]:
        parts = super().get_app_iter(environ)
        if not self.is_sequence:
            return parts
        whole = list(parts)
        self.close()
        return whole


class Whole(IntegerConverter):
    """A whole number in an address, no larger than a database can hold."""

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **{"max": LARGEST_WHOLE, **named})


class Application(Flask):
    """As Flask's own."""

    response_class = Answer

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self.url_map.converters["int"] = Whole

    def log_exception(self, exc_info: logged.Error) -> None:
        """As Flask's own, but nothing that was typed and no VIN comes into the log."""
        said = logged.path_of(request), request.method, logged.traceback_of(exc_info, request)
        self.logger.error("Exception on %s [%s]\n%s", *said)

    def ensure_sync(self, func: Callable[..., Any]) -> Callable[..., Any]:
        """Nothing here is async, and asking that of every function at every request costs as much as a form."""
        return func
