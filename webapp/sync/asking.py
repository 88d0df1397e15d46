"""Asking head office: one signed request and its answer, and what is no answer of a head office.

`exchange` is one request and its answer; what reaches over the network is `line`.
"""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from webapp.config import Settings
from webapp.core.errors import BadInput, Conflict, Unavailable
from webapp.storage.keys import encoded, sign
from webapp.storage.outbox_tables import HeadOffice
from webapp.storage.own_keys import RECORDS, private_key
from webapp.sync.signed import under


@dataclass(frozen=True)
class Answer:
    """A response: `headers` by their names in small letters."""

    status: int
    headers: Mapping[str, str]
    body: bytes


Exchange = Callable[[str, str, Mapping[str, str], bytes], Answer]
"""(method, path, headers, body) -> the answer. Raises OSError where nobody answers."""


def ask(
    settings: Settings,
    office: HeadOffice,
    exchange: Exchange,
    now: str,
    method: str,
    path: str,
    headers: Mapping[str, str] | None = None,
    body: bytes = b"",
) -> Answer:
    """A request as this shop signs it, and its answer, whatever that says. Raises Unavailable (`office-away`)."""
    signature = encoded(sign(private_key(settings.data, RECORDS), under(method, path, now, body)))
    who = f"Baybook shop={office.shop}, at={now}, signature={signature}"
    return reached(exchange, method, path, {**(headers or {}), "Authorization": who}, body)


def reached(exchange: Exchange, method: str, path: str, headers: Mapping[str, str], body: bytes) -> Answer:
    """One request. Raises Unavailable (`office-away`) where nobody answers."""
    try:
        return exchange(method, path, headers, body)
    except OSError as error:
        what = f"head office cannot be reached: {error}; it is tried again by itself"
        raise Unavailable("office-away", "", what) from error


def said_in(answer: Answer) -> dict[str, Any]:
    """The object in a good answer. Raises what `need_good` raises."""
    need_good(answer)
    try:
        said = json.loads(answer.body)
    except ValueError:
        said = None
    if not isinstance(said, dict):
        raise _no_office(answer)
    return said


def need_good(answer: Answer) -> None:
    """Raise what head office refuses, as it says it; what is no answer of a head office is none."""
    if 200 <= answer.status < 300:
        return
    try:
        error = json.loads(answer.body)["error"]
        code, field, message = (str(error[name]) for name in ("code", "field", "message"))
    except (ValueError, KeyError, TypeError):
        raise _no_office(answer) from None
    kind = Unavailable if answer.status == 503 else Conflict if answer.status == 409 else BadInput
    raise kind(code, field, message)


def _no_office(answer: Answer) -> Unavailable:
    what = f"who answers there is no head office (status {answer.status}); see that the address is right"
    return Unavailable("office-away", "", what)
