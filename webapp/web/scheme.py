"""How this page came: over https or from the machine itself, or over plain http, where a phone can do less."""

from urllib.parse import urlsplit

from flask import request

from webapp.address import is_local


def over_plain_http() -> bool:
    """Whether the browser holds this page to be unsafe: no worker, no camera stream, nothing without the network.

    It is told by the same sign by which the browser tells it: the address that it opened.
    """
    if request.is_secure or request.headers.get("X-Forwarded-Proto") == "https":
        return False
    return not is_local(urlsplit(request.host_url).hostname or "")
