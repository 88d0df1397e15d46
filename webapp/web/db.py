"""The pages' way to the database: `session()` to read, `writing()` and the quick `share(work)` for one transaction."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from typing import cast

from flask import current_app, g
from sqlalchemy import Engine
from sqlmodel import Session

from webapp.config import Settings
from webapp.core.procedure import Library
from webapp.stocks import Stocks, library_in
from webapp.storage import engine as storage
from webapp.storage import specs
from webapp.storage.line import T, Work


def engine() -> Engine:
    return cast(Engine, current_app.extensions["engine"])


def reading() -> Engine:
    """What this request reads from: the database, or its standby, where `standby.may_read` has chosen that."""
    return cast(Engine, g.get("reads_from") or engine())


def settings() -> Settings:
    return cast(Settings, current_app.extensions["settings"])


def library() -> Library:
    """The procedures and vehicles that jobs are planned by now, with the shop's own that are approved."""
    if "library" not in g:
        with session() as held:
            came_along = cast(Library, current_app.extensions["library"])
            g.shipped = library_in(stocks(), held, came_along)
            g.library = specs.library_of(held, g.shipped)
    return cast(Library, g.library)


def shipped() -> Library:
    """The same without the shop's own vehicles: what head office released, once taken up, else what came along."""
    if "shipped" not in g:
        with session() as held:
            g.shipped = library_in(stocks(), held, cast(Library, current_app.extensions["library"]))
    return cast(Library, g.shipped)


def stocks() -> Stocks:
    """The releases of head office that this process has made libraries of."""
    return cast(Stocks, current_app.extensions["stocks"])


def session() -> AbstractContextManager[Session]:
    return storage.session(reading())


def writing() -> AbstractContextManager[Session]:
    shipped()  # a release's library is made before the turn at writing is taken: that can take a second or two
    return storage.writing(engine())


def share(work: Work[T], meanwhile: Callable[[], object] | None = None) -> T:
    return storage.share(engine(), work, meanwhile)


def journal() -> str:
    """The name of the server's own journal, as it was when the server started."""
    return cast(str, current_app.extensions["journal"])
