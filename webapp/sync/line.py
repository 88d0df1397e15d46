"""The line to head office: requests over the network, by the authority that it is trusted by."""

import ssl
from collections.abc import Mapping
from email.message import Message
from http.client import HTTPException
from urllib.error import HTTPError, URLError
from urllib.request import HTTPSHandler, OpenerDirector, Request, build_opener

from webapp.sync.forward import Answer, Exchange

PATIENCE_S = 60.0


def line_to(url: str, authority: str = "") -> Exchange:
    """Requests to that address. `authority` is the certificate (PEM) that it is trusted by, else the machine's own."""
    trusted = ssl.create_default_context(cadata=authority or None)
    opener = build_opener(HTTPSHandler(context=trusted))

    def exchange(method: str, path: str, headers: Mapping[str, str], body: bytes) -> Answer:
        asked = Request(url + path, data=body or None, headers=dict(headers), method=method)  # noqa: S310 - http or https
        try:
            return _answer(opener, asked)
        except URLError as error:
            why = error.reason
            raise OSError(getattr(why, "strerror", None) or str(why)) from error
        except HTTPException as error:  # cut off, or none
            raise OSError(f"what answers breaks off ({error})") from error

    return exchange


def _answer(opener: OpenerDirector, asked: Request) -> Answer:
    try:
        with opener.open(asked, timeout=PATIENCE_S) as answer:
            return Answer(answer.status, _small(answer.headers), answer.read())
    except HTTPError as error:
        with error:
            return Answer(error.code, _small(error.headers), error.read())


def _small(headers: Message) -> dict[str, str]:
    return {name.lower(): value for name, value in headers.items()}
