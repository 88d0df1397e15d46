"""What head office keeps of its shops, in PostgreSQL: who joined, what arrived, and who may see it.

`door` opens it for one shop or for a reader's regions; `shops` lets shops in; `arrivals` takes in what they send.
"""

from pathlib import Path

from sqlalchemy import text
from sqlalchemy.engine import Engine, make_url

from webapp.core.errors import BadInput
from webapp.storage.engine import beside, engine, session
from webapp.storage.migrate import Chain, upgrade
from webapp.storage.office import months

CHAIN = Chain(Path(__file__).with_name("migrations"), "office_version")


def prepare(url: str) -> None:
    """Make or bring up to date the tables of a head office.

    Raises BadInput (`bad-setting`) for a database that is no PostgreSQL, or a user whom its policies do not bind.
    """
    if make_url(url).get_backend_name() != "postgresql":
        what = (
            "DATABASE_URL must be that of a PostgreSQL database for a head office; "
            "write it like postgresql+psycopg://user@host/name"
        )
        raise BadInput("bad-setting", "DATABASE_URL", what)
    made = engine(url)
    try:
        _need_bound(made)
        _find_shop_tables_first(made)
        upgrade(made)
        upgrade(made, CHAIN)
        _find_shop_tables_first(made)
        months.complete(made)
    finally:
        made.dispose()


def _find_shop_tables_first(made: Engine) -> None:
    """A user called as the schema would find `office.job` where the shop's own `job` is meant: from now on nobody does.

    It is said of the database, for all connections that are opened from here on, and again where it was put back.
    """
    with session(made) as db:
        hides = db.connection().execute(text("SELECT current_schema() = 'office'")).scalar()
    if hides:
        with beside(made) as connection:
            connection.execute(_SHOP_TABLES_FIRST)
        made.dispose()


_SHOP_TABLES_FIRST = text(
    "DO $$ BEGIN EXECUTE format('ALTER DATABASE %I SET search_path = public', current_database()); END $$"
)


def _need_bound(engine: Engine) -> None:
    with session(engine) as db:
        unbound = text("SELECT rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = current_user")
        if db.connection().execute(unbound).scalar():
            what = (
                "DATABASE_URL has a user who sees every row whatever the policies say; "
                "make one without SUPERUSER and BYPASSRLS who owns the database"
            )
            raise BadInput("bad-setting", "DATABASE_URL", what)
