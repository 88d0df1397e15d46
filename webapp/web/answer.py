"""An answer that is ready is handed to the WSGI server in one piece."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from flask import Response

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
