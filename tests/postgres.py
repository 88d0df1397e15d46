"""A PostgreSQL server of the tests' own, from Debian's package: started in a new folder, gone afterwards.

It is reached by a socket in that folder alone, so that any number of them run side by side.
"""

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import mkdtemp

import psycopg

USER = "baybook"
FAST = {"fsync": "off", "synchronous_commit": "off", "full_page_writes": "off"}
"""For tests that are not about what a loss of power leaves: nothing waits for the disk."""


def programs() -> Path:
    """The folder of the newest server installed."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda one: int(one.parts[-3]))
    if not found:
        raise RuntimeError("PostgreSQL is not installed: make setup-test")
    return found[-1].parent


def url(socket: Path, database: str, user: str = USER) -> str:
    return f"postgresql+psycopg://{user}@/{database}?host={socket}"


@contextmanager
def connected(socket: Path, database: str = "postgres", user: str = USER) -> Iterator[psycopg.Connection]:
    """A connection beside the application's, on which every statement is kept at once."""
    with psycopg.connect(host=str(socket), user=user, dbname=database, autocommit=True) as connection:
        yield connection


@contextmanager
def serving(settings: dict[str, str] | None = None) -> Iterator[Path]:
    """Run a server; its socket lies in the folder that comes back. `settings` are postgresql.conf's."""
    # A socket's path may not be longer than some hundred letters, so it does not lie below the tests' own folder.
    folder = Path(mkdtemp(prefix="baybook-pg-"))
    data = folder / "data"
    _own(folder)
    try:
        _run("initdb", "-D", data, "-U", USER, "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")
        said = {"listen_addresses": "", "unix_socket_directories": str(folder), "max_connections": "200"}
        options = " ".join(f"-c {name}='{value}'" for name, value in (said | (settings or {})).items())
        _run("pg_ctl", "-D", data, "-l", folder / "log", "-o", options, "-w", "start")
        try:
            yield folder
        finally:
            _run("pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _own(folder: Path) -> None:
    """The server refuses to run as root; the package brings a user for it."""
    if os.geteuid() == 0:
        shutil.chown(folder, "postgres", "postgres")


def _run(program: str, *given: object) -> None:
    # As its own user it could not look into the folder that the tests were started in.
    user = "postgres" if os.geteuid() == 0 else None
    command = [str(programs() / program), *map(str, given)]
    done = subprocess.run(command, user=user, cwd="/", env={"PATH": os.environ["PATH"]}, capture_output=True, text=True)
    if done.returncode:
        raise RuntimeError(f"{program}: {done.stdout[-500:]} {done.stderr[-500:]}")
