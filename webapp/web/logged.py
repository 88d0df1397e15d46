"""What the server's log says of an error that nobody foresaw: where it happened, and nothing of whom.

There is no log of requests: who opened which page when is nobody's business, and what changed is in the journal. An
error's text may hold what was typed, so that whatever came with the request, and whatever looks like a VIN, is struck
out of it; where a phone's bytes came, which are read piece by piece, errors are told without their texts.
"""

import re
from collections.abc import Iterator
from traceback import TracebackException
from types import TracebackType
from urllib.parse import quote_plus

from flask import Request

VIN = re.compile(r"(?<![A-Za-z0-9])(?=[A-Za-z0-9]*[0-9])[A-HJ-NPR-Za-hj-npr-z0-9]{17}(?![A-Za-z0-9])")
STRUCK = "[struck out]"
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
SHORTEST = 3
"""Of shorter values nothing can be told from the text around them."""

Error = tuple[type, BaseException, TracebackType | None] | tuple[None, None, None]


def traceback_of(error: Error, request: Request) -> str:
    """The traceback, fit to be kept in a log."""
    kind, value, trace = error
    if kind is None or value is None:
        return ""
    is_form = request.mimetype in FORMS or not request.content_length
    text = "".join(_lines(TracebackException(kind, value, trace), is_form))
    for said in sorted(_said_in(request), key=len, reverse=True):
        text = text.replace(said, STRUCK)
    return VIN.sub(STRUCK, text)


def _lines(told: TracebackException, with_texts: bool) -> Iterator[str]:
    """As `format` gives them, what led to it before what came of it."""
    before = told.__cause__ or (None if told.__suppress_context__ else told.__context__)
    if before:
        yield from (*_lines(before, with_texts), "\nThen:\n\n")
    yield from ("Traceback (most recent call last):\n", *told.stack.format())
    yield from told.format_exception_only() if with_texts else [f"{told.exc_type.__name__}\n"]


def path_of(request: Request) -> str:
    """The path that was asked for, without what a form put behind it."""
    return VIN.sub(STRUCK, request.path)


def _said_in(request: Request) -> Iterator[str]:
    values = [*request.args.values(), *request.cookies.values(), request.headers.get("Authorization", "")]
    for name, value in request.form.items(multi=True):
        values += [name, value]
    for value in values:
        for one in (value, repr(value)[1:-1], quote_plus(value), quote_plus(value, safe="'")):
            if len(one) >= SHORTEST:
                yield one
