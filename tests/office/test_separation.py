"""Whose rows somebody sees is the database's doing: asked around the application, in its own user's name."""

import psycopg
import pytest

from tests.postgres import connected
from webapp.storage.office import door

from .conftest import OWNER, Office, Shop

TABLES = ("head", "entry", "job", "sheet", "event", "time", "photo", "shop_month", "model_month", "kit", "kit_item")


def seen(db: psycopg.Connection, table: str) -> set[str]:
    return {shop for (shop,) in db.execute(f"SELECT DISTINCT shop FROM office.{table}".encode())}


def test_who_says_nothing_sees_nothing(office: Office, two: tuple[Shop, Shop]) -> None:
    with connected(office.socket, office.database, OWNER) as db:
        assert db.execute("SELECT count(*) FROM office.shop").fetchone() == (0,)
        for table in TABLES:
            assert seen(db, table) == set()
            db.execute(f"DELETE FROM office.{table}".encode())
    assert office.count("entry") == two[0].size() + two[1].size()


def test_a_region_sees_its_shops_alone(office: Office, two: tuple[Shop, Shop]) -> None:
    north, south = two
    with connected(office.socket, office.database, OWNER) as db:
        for regions, expected in (
            ("North", {north.name()}),
            ("North\x1fSouth", {north.name(), south.name()}),
            ("", set()),
        ):
            db.execute("SELECT set_config('baybook.regions', %s, false)", (regions,))
            for table in TABLES:
                assert seen(db, table) == expected, (regions, table)
    with door.of_regions(office.engine, ["South"]) as held:
        assert {row.name for row in held.exec_driver_sql("SELECT name FROM office.shop")} == {"Quay"}


def test_a_part_of_a_table_gives_no_more_than_the_table(office: Office, two: tuple[Shop, Shop]) -> None:
    with connected(office.socket, office.database, OWNER) as db:
        parts = db.execute(
            "SELECT inhrelid::regclass::text FROM pg_inherits JOIN pg_class c ON c.oid = inhparent "
            "WHERE c.relnamespace = 'office'::regnamespace AND c.relkind = 'p'"
        )
        names = [name for (name,) in parts]
        assert len(names) >= 4
        for name in names:
            assert db.execute(f"SELECT count(*) FROM {name}".encode()).fetchone() == (0,), name


def test_who_takes_in_for_a_shop_writes_for_no_other(office: Office, two: tuple[Shop, Shop]) -> None:
    north, south = two
    with connected(office.socket, office.database, OWNER) as db:
        db.execute("SELECT set_config('baybook.shop', %s, false)", (north.name(),))
        assert seen(db, "event") == {north.name()}
        with pytest.raises(psycopg.errors.InsufficientPrivilege):
            db.execute("INSERT INTO office.photo VALUES (%s, 'J', 'aa', false)", (south.name(),))
        moved = db.execute("UPDATE office.photo SET here = false WHERE shop = %s", (south.name(),))
        assert moved.rowcount == 0
