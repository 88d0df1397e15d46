"""How this page came: over https or from the machine itself, or over plain http, where a phone can do less."""

from functools import lru_cache
from urllib.parse import urlsplit

from flask import request

from webapp.address import is_local


def over_https() -> bool:
    """Whether the browser asked over https, here or of a proxy that ends it."""
    return request.scheme == "https" or request.headers.get("X-Forwarded-Proto") == "https"


def over_plain_http() -> bool:
    """Whether the browser holds this page to be unsafe: no worker, no camera stream, nothing without the network.

    It is told by the same sign by which the browser tells it: the address that it opened.
    """
    if over_https():
        return False
    return not _of_this_machine(request.host)


@lru_cache(maxsize=256)
def _of_this_machine(host: str) -> bool:
    return is_local(urlsplit(f"//{host}").hostname or "")
