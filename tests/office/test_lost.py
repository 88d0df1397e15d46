"""Head office's database is lost in the middle of something: it is said plainly, and found again."""

import os
import socket
from collections.abc import Callable

import pytest
from sqlalchemy import text

from tests import postgres
from tests.browser.shop import free_port
from webapp.core.errors import Unavailable
from webapp.storage.attachments import photo_path
from webapp.storage.engine import PROMPT, beside, copying, engine, session
from webapp.storage.office.tables import PARTED

from .conftest import Office, Shop

COPY = "COPY lost (number) FROM STDIN"


@pytest.mark.parametrize("state", ["57P01", "57P03", "25006", "08006"])
def test_a_server_that_goes_or_only_follows_another_is_told_as_away(office: Office, state: str) -> None:
    refused = text(f"DO $$ BEGIN RAISE EXCEPTION 'so' USING ERRCODE = '{state}'; END $$")
    with pytest.raises(Unavailable) as told, beside(office.engine) as db:
        db.execute(refused)
    assert told.value.code == "database-away"


def test_a_connection_that_is_cut_while_rows_are_copied_is_told_as_away(office: Office) -> None:
    def cut() -> None:
        with beside(office.engine) as db:
            db.execute(text("CREATE TEMPORARY TABLE lost (number int)"))
            pid = db.execute(text("SELECT pg_backend_pid()")).scalar()
            with copying(db, COPY) as copy, postgres.connected(office.socket) as other:
                copy.write_row((1,))
                other.execute("SELECT pg_terminate_backend(%s, 10000)", (pid,))

    with pytest.raises(Unavailable) as told:
        cut()
    assert told.value.code == "database-away"
    assert office.count("shop") == 0


def test_a_server_that_took_over_without_the_newest_parts_gets_them_made(
    office: Office, shop_of: Callable[[], Shop]
) -> None:
    """As one that followed at a distance may lack them."""
    first, second = shop_of(), shop_of()
    first.join()
    first.drain()
    with postgres.connected(office.socket, office.database) as db:
        for name in PARTED:
            asked = "SELECT inhrelid::regclass::text FROM pg_inherits WHERE inhparent = %s::regclass"
            for (part,) in db.execute(asked, (f"office.{name}",)).fetchall():
                db.execute(f"DROP TABLE {part}".encode())
    assert office.count("event") == office.count("job") == 0
    second.join()
    second.drain()
    assert office.count("job") == second.size()


def test_photos_of_which_all_bytes_came_before_the_process_was_killed_are_finished(office: Office, shop: Shop) -> None:
    shop.turn()
    (name,) = office.rows("SELECT sha256 FROM office.photo ORDER BY sha256 LIMIT 1")[0]
    begun = photo_path(office.photos(shop), name).parent / f".begun-{name}"
    begun.parent.mkdir(parents=True, exist_ok=True)
    begun.write_bytes(photo_path(shop.settings.photos, name).read_bytes())
    shop.drain()
    assert office.rows("SELECT sha256 FROM office.photo WHERE NOT here") == []
    assert not begun.exists()


def test_a_host_that_says_nothing_is_passed_over_for_the_next_one() -> None:
    port = free_port()
    settings = postgres.FAST | {"listen_addresses": "127.0.0.1", "port": str(port)}
    with socket.create_server(("127.0.0.1", 0)) as silent, postgres.serving(settings):
        ports = f"host=127.0.0.1:{silent.getsockname()[1]}&host=127.0.0.1:{port}"
        made = engine(f"postgresql+psycopg://{postgres.USER}@/postgres?{ports}&connect_timeout=2&keepalives_idle=7")
        with session(made) as db:
            assert db.connection().exec_driver_sql("SELECT 1").scalar() == 1
            driver = db.connection().connection.driver_connection
            assert driver is not None
            with socket.socket(fileno=os.dup(driver.fileno())) as held:
                assert held.getsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT) == PROMPT["tcp_user_timeout"]
                assert held.getsockopt(socket.IPPROTO_TCP, socket.TCP_KEEPIDLE) == 7
        made.dispose()
