"""Pages that are read from a standby where there is one: all that they read, so that they answer without the primary.

A server that does not answer is left alone for a while, and the other one is asked: who looks does not wait each time.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import ParamSpec, TypeVar
from weakref import WeakKeyDictionary

from flask import current_app, g
from sqlalchemy.engine import Engine

from webapp.core.errors import Unavailable
from webapp.storage.standby import Standing, standing
from webapp.web import db, moment

RESTS_S = 15.0

_away: WeakKeyDictionary[Engine, float] = WeakKeyDictionary()
"""Of this process: until when a server that did not answer is left alone, on the steady clock."""

Given = ParamSpec("Given")
Found = TypeVar("Found")


@dataclass
class Reads:
    """What a page says of where it was read. `standing` is the standby's, None where that is away; `written` is whether
    the primary could bring the figures up to what has arrived."""

    standing: Standing | None
    written: bool = True


def may_read(page: Callable[Given, Found]) -> Callable[Given, Found]:
    """This page may be read from the standby: nothing it shows has to be newer than that."""

    @wraps(page)
    def shown(*given: Given.args, **named: Given.kwargs) -> Found:
        standby: Engine | None = current_app.extensions.get("standby")
        if standby is not None:
            found = _unless_away(standby, lambda: standing(standby))
            g.reads, g.reads_from = Reads(found), standby if found else None
        return page(*given, **named)

    return shown


def try_to_write(work: Callable[[], object]) -> None:
    """Do what a page would like to have done before it is read, or leave it where only the standby answers.

    Raises Unavailable where that is not read from.
    """
    if g.get("reads_from") is None:
        work()
        return
    reads: Reads = g.reads
    reads.written = _unless_away(db.engine(), lambda: (work(), True)) is not None


def _unless_away(server: Engine, ask: Callable[[], Found]) -> Found | None:
    """What the server answers; None where it does not, or did not a moment ago."""
    now_s = moment.now().mono_s
    if _away.get(server, 0.0) > now_s:
        return None
    try:
        return ask()
    except Unavailable:
        _away[server] = now_s + RESTS_S
        return None
