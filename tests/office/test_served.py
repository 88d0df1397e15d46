"""A shop and a head office as they are really served: joined at the terminal, sending by itself over https."""

import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

from tests import postgres
from tests.databases import Databases
from tests.serving import PATIENCE_S, served, until
from webapp.forwarding import POLITE
from webapp.storage import log, outbox
from webapp.storage.engine import engine, session

from .conftest import OWNER, Office, Shop


def baybook(*asked: str, **env: str) -> str:
    """What a command says; one that is refused fails the test."""
    done = subprocess.run(
        [sys.executable, "-m", "webapp.cli", *asked], env=os.environ | env, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def refused(*asked: str, **env: str) -> str:
    """What a command says that is refused."""
    done = subprocess.run(
        [sys.executable, "-m", "webapp.cli", *asked], env=os.environ | env, capture_output=True, text=True
    )
    assert done.returncode == 2, done.stdout
    return done.stderr.strip()


def test_a_served_shop_sends_all_it_has_while_head_offices_processes_are_killed(
    office: Office, databases: Databases, history_folder: Path, tmp_path: Path
) -> None:
    url = postgres.url(office.socket, office.database, OWNER)
    at_office = {"DATABASE_URL": url, "HEAD_OFFICE": "yes", "DATA": str(office.settings.data)}
    data = tmp_path / "shop"
    shutil.copytree(history_folder / "photos", data / "photos")
    databases.copy(history_folder, data)
    at_shop = {"DATA": str(data), "DATABASE_URL": databases.url(data)}
    code = baybook("shop-code", "Bridge Street", "North", **at_office)
    with served(office.settings.data, **at_office) as head_office:
        address = f"https://127.0.0.1:{head_office.https_port}"
        said = baybook("join", address, code, "--authority", str(head_office.root), **at_shop)
        assert "Head office calls this shop 'Bridge Street'" in said
        made = engine(databases.url(data))
        killed = 0

        def stands() -> tuple[int, int, int]:
            with session(made) as db:
                found = outbox.head_office(db)
                assert found is not None
                return found.size, found.photos, log.size_of(db)

        with served(data, **at_shop):
            until(lambda: stands()[0] > 0)
            while stands()[:2] != (stands()[2], 0) and killed < 5:
                master = head_office.https_master()
                for pid in head_office.children(master)[:1]:
                    os.kill(pid, signal.SIGKILL)
                    killed += 1
                before = stands()
                until(lambda: stands() != before or stands()[0] == stands()[2])  # noqa: B023 - asked within the loop
            until(lambda: stands()[0] == stands()[2] and office.rows("SELECT 1 FROM office.photo WHERE NOT here") == [])
        size = stands()[2]
        made.dispose()
        assert baybook("send", **at_shop) == "0 entries of the log were sent to head office; nothing waits."
    assert killed > 0
    assert office.count("entry") == office.count("job") == size
    assert office.count("aside") == 0
    alone = {"DATA": str(tmp_path / "alone"), "DATABASE_URL": ""}
    assert baybook("send", **alone) == "This shop has joined no head office."
    databases.drop(data)


def test_a_sender_ends_without_a_word_on_ctrl_c(shop: Shop) -> None:
    env = os.environ | {"DATA": str(shop.settings.data), "DATABASE_URL": shop.settings.database_url}
    command = [sys.executable, "-m", "webapp.cli", "send", "--stay", "--beside", str(os.getpid())]
    with subprocess.Popen(command, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True) as sender:
        until(lambda: os.getpriority(os.PRIO_PROCESS, sender.pid) == POLITE)  # it has begun
        sender.send_signal(signal.SIGINT)
        assert sender.communicate(timeout=PATIENCE_S) == ("", None)
    assert sender.returncode == 0


def test_a_sender_whose_server_ended_while_it_began_does_not_stay(shop: Shop) -> None:
    nobody = subprocess.run([sys.executable, "-c", "import os; print(os.getpid())"], capture_output=True, text=True)
    at_shop = {"DATA": str(shop.settings.data), "DATABASE_URL": shop.settings.database_url}
    assert baybook("send", "--stay", "--beside", nobody.stdout.strip(), **at_shop) == ""
