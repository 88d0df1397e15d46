"""Bring the database's tables up to what this version of Baybook needs. A new database gets them all."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from sqlalchemy import column, inspect, select, table
from sqlalchemy.engine import Engine
from sqlmodel import Session

from webapp.core.errors import Conflict
from webapp.storage import packed
from webapp.storage.engine import engine, session, writing


@dataclass(frozen=True)
class Chain:
    """Migrations that follow each other, in a folder; `table` keeps which was the last."""

    folder: Path
    table: str

    @cached_property
    def newest(self) -> str:
        """Each file's name begins with its own revision."""
        return max(path.name[:4] for path in self.folder.glob("versions/[0-9]*.py"))


SHOP = Chain(Path(__file__).with_name("migrations"), "alembic_version")
PACKED_SINCE = "0006"
"""A shop of before has finished jobs whose times are not packed yet."""


@contextmanager
def opened(url: str) -> Iterator[Engine]:
    """A database for a while, with the tables that this version needs; whatever happens, no connection stays behind."""
    made = engine(url)
    try:
        upgrade(made)
        yield made
    finally:
        made.dispose()


def upgrade(engine: Engine, chain: Chain = SHOP) -> None:
    """Run the migrations that are missing, in one transaction; at once when there are none.

    Raises Conflict (`database-newer`) for a database that a later version of Baybook has been at.
    """
    # Alembic takes a third of a second to load, and nearly every start finds nothing to do.
    with session(engine) as db:
        if _revision(db, chain) == chain.newest:
            return
    with writing(engine) as db:
        _upgrade(db, chain)


def _revision(db: Session, chain: Chain) -> str | None:
    if not inspect(db.connection()).has_table(chain.table):
        return None
    found: str | None = db.connection().execute(select(column("version_num")).select_from(table(chain.table))).scalar()
    return found


def _upgrade(db: Session, chain: Chain) -> None:
    from alembic import command
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", str(chain.folder).replace("%", "%%"))
    scripts = ScriptDirectory.from_config(config)
    at = _revision(db, chain)
    if at is not None and at not in {script.revision for script in scripts.walk_revisions()}:
        what = f"The database is at revision '{at}', which this version does not know; install the newer Baybook again"
        raise Conflict("database-newer", "", what)
    config.attributes["connection"], config.attributes["table"] = db.connection(), chain.table
    command.upgrade(config, "head")
    if chain is SHOP and at is not None and at < PACKED_SINCE:
        packed.keep_all(db)
