"""What head office keeps of its shops, in PostgreSQL: who joined, what arrived, and who may see it.

`door` opens it for one shop or for a reader's regions; `shops` lets shops in; `arrivals` takes in what they send.
"""

from pathlib import Path

from sqlalchemy import text
from sqlalchemy.engine import Engine, make_url

from webapp.core.errors import BadInput
from webapp.storage.engine import session
from webapp.storage.migrate import Chain, opened, upgrade
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
    with opened(url) as made:
        _need_bound(made)
        upgrade(made, CHAIN)
        months.complete(made)


def _need_bound(engine: Engine) -> None:
    with session(engine) as db:
        unbound = text("SELECT rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = current_user")
        if db.connection().execute(unbound).scalar():
            what = (
                "DATABASE_URL has a user who sees every row whatever the policies say; "
                "make one without SUPERUSER and BYPASSRLS who owns the database"
            )
            raise BadInput("bad-setting", "DATABASE_URL", what)
