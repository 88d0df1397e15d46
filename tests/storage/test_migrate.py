"""The migrations make exactly the tables that the code uses, and leave what is there alone."""

from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect, text
from sqlalchemy.engine import Engine
from sqlmodel import SQLModel

from tests.databases import POSTGRESQL, Databases
from webapp.core.errors import Conflict
from webapp.storage import migrate, office
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import session, writing
from webapp.storage.migrate import upgrade
from webapp.storage.tables import Job


def test_the_migrations_make_the_tables_that_the_code_uses(engine: Engine) -> None:
    with engine.connect() as connection:
        # PostgreSQL has no way to compare two JSON defaults.
        context = MigrationContext.configure(connection, opts={"compare_server_default": not POSTGRESQL})
        assert compare_metadata(context, SQLModel.metadata) == []


def test_the_migrations_make_the_same_constraints_as_the_code(
    databases: Databases, tmp_path: Path, engine: Engine
) -> None:
    def shape(engine: Engine) -> dict[str, object]:
        read = inspect(engine)
        return {
            table: (
                read.get_pk_constraint(table),
                sorted(map(str, read.get_unique_constraints(table))),
                sorted(map(str, read.get_foreign_keys(table))),
                sorted(map(str, read.get_indexes(table))),
            )
            for table in read.get_table_names()
            if table != "alembic_version"
        }

    databases.create(tmp_path)
    by_the_code = engine_for(databases.url(tmp_path))
    with writing(by_the_code) as db:
        SQLModel.metadata.create_all(db.connection())
    assert shape(engine) == shape(by_the_code)
    by_the_code.dispose()
    databases.drop(tmp_path)


def test_migrating_again_keeps_everything(engine: Engine) -> None:
    with writing(engine) as db:
        db.add(Job(id="J-1", sort="day", phase="open", created_at="2026-03-02T08:15:00.125Z"))
    upgrade(engine)
    with session(engine) as db:
        assert db.get_one(Job, "J-1").sort == "day"


@pytest.mark.sqlite
def test_a_number_in_the_journal_is_never_given_twice(engine: Engine) -> None:
    with engine.connect() as connection:
        made = connection.execute(text("SELECT sql FROM sqlite_master WHERE name = 'event'")).scalar_one()
    assert "AUTOINCREMENT" in made


def test_a_database_of_a_later_version_is_left_alone(engine: Engine) -> None:
    with writing(engine) as db:
        db.connection().execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(Conflict) as refused:
        upgrade(engine)
    assert refused.value.code == "database-newer"
    assert "'9999'" in refused.value.message


def test_the_newest_revision_is_known_without_loading_the_migrations() -> None:
    for chain in (migrate.SHOP, office.CHAIN):
        assert ScriptDirectory(str(chain.folder)).get_current_head() == chain.newest
