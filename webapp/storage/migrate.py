"""Bring the database's tables up to what this version of Baybook needs. A new database gets them all."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy.engine import Engine

from webapp.core.errors import Conflict
from webapp.storage.engine import writing

_FOLDER = Path(__file__).with_name("migrations")


def upgrade(engine: Engine) -> None:
    """Run the migrations that are missing, in one transaction; quick when there are none.

    Raises Conflict (`database-newer`) for a database that a later version of Baybook has been at.
    """
    config = Config()
    config.set_main_option("script_location", str(_FOLDER).replace("%", "%%"))
    scripts = ScriptDirectory.from_config(config)
    with writing(engine) as db:
        config.attributes["connection"] = db.connection()
        at = MigrationContext.configure(db.connection()).get_current_revision()
        if at == scripts.get_current_head():
            return
        if at is not None and at not in {script.revision for script in scripts.walk_revisions()}:
            what = (
                f"The database is at revision '{at}', which this version does not know; install the newer Baybook again"
            )
            raise Conflict("database-newer", "", what)
        command.upgrade(config, "head")
