"""A PostgreSQL server of the tests' own, from Debian's package: started in a new folder, gone afterwards.

It is reached by a socket in that folder alone, so that any number of them run side by side.
"""

import os
import shutil
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
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
    with _folder() as folder:
        options = ("-U", USER, "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--no-sync")
        _run("initdb", "-D", folder / "data", *options)
        with _started(folder, settings or {}):
            yield folder


@contextmanager
def standing_by(primary: Path) -> Iterator[Path]:
    """Run a second server that follows the first: what that one says is kept is on this one's disk too."""
    with _folder() as folder:
        _run("pg_basebackup", "-h", primary, "-U", USER, "-D", folder / "data", "-R", "-c", "fast", "--no-sync")
        with _started(folder, {}):
            with connected(primary) as db:
                db.execute("ALTER SYSTEM SET synchronous_standby_names = '*'")
                db.execute("SELECT pg_reload_conf()")
                in_step = "SELECT 1 FROM pg_stat_replication WHERE sync_state = 'sync'"
                while db.execute(in_step).fetchone() is None:
                    db.execute("SELECT pg_sleep(0.05)")
            yield folder


def promote(standby: Path) -> None:
    """The server that followed another is written to from now on."""
    _run("pg_ctl", "-D", standby / "data", "-w", "promote")


def kill(server: Path) -> None:
    """All its processes at once, as a loss of power does."""
    written = server / "data" / "postmaster.pid"
    pid = int(written.read_text().split()[0])
    beneath = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    for one in (pid, *map(int, beneath)):
        with suppress(ProcessLookupError):
            os.kill(one, signal.SIGKILL)
    written.unlink()


@contextmanager
def _folder() -> Iterator[Path]:
    # A socket's path may not be longer than some hundred letters, so it does not lie below the tests' own folder.
    folder = Path(mkdtemp(prefix="baybook-pg-"))
    _own(folder)
    try:
        yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@contextmanager
def _started(folder: Path, settings: dict[str, str]) -> Iterator[None]:
    data = folder / "data"
    said = {"listen_addresses": "", "unix_socket_directories": str(folder), "max_connections": "200"} | settings
    options = " ".join(f"-c {name}='{value}'" for name, value in said.items())
    _run("pg_ctl", "-D", data, "-l", folder / "log", "-o", options, "-w", "start")
    try:
        yield
    finally:
        if (data / "postmaster.pid").exists():  # else it was killed
            _run("pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")


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
