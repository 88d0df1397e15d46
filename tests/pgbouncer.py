"""A pooler of the tests' own before a PostgreSQL, from Debian's package: PgBouncer in transaction mode.

Its connections are lent from transaction to transaction: what one remembers is there for whoever gets it next.
"""

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import mkdtemp

import psycopg

from .serving import until

PROGRAM, PORT = "/usr/sbin/pgbouncer", 6432
LENT = 2
"""So many connections to the server are shared by all."""
INI = """
[databases]
* = host={server}
[pgbouncer]
listen_addr =
listen_port = {port}
unix_socket_dir = {folder}
auth_type = trust
auth_file = {folder}/users
pool_mode = transaction
default_pool_size = {lent}
max_client_conn = 200
logfile = {folder}/log
pidfile = {folder}/pid
"""


@contextmanager
def pooling(server: Path, user: str) -> Iterator[Path]:
    """Run a pooler before the server whose socket lies in `server`; its own lies in the folder that comes back."""
    folder = Path(mkdtemp(prefix="baybook-pool-"))
    (folder / "users").write_text(f'"{user}" ""\n')
    (folder / "ini").write_text(INI.format(server=server, port=PORT, folder=folder, lent=LENT))
    by = "postgres" if os.geteuid() == 0 else None  # it refuses to run as root
    if by:
        for one in (folder, folder / "users", folder / "ini"):
            shutil.chown(one, by, by)
    running = subprocess.Popen([PROGRAM, "-q", folder / "ini"], user=by, cwd="/", env={})
    try:
        until(lambda: _answers(folder, user))
        yield folder
    finally:
        running.terminate()
        running.wait()
        shutil.rmtree(folder)


def url(folder: Path, database: str, user: str) -> str:
    """The address as it has to be behind such a pooler."""
    return f"postgresql+psycopg://{user}@/{database}?host={folder}&port={PORT}&prepare_threshold=none"


def _answers(folder: Path, user: str) -> bool:
    try:
        with psycopg.connect(host=str(folder), port=PORT, user=user, dbname="postgres", prepare_threshold=None) as db:
            db.execute("SELECT 1")
    except psycopg.OperationalError:
        return False
    return True
