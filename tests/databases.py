"""Where the tests' shops keep what they know: a file in their folder, or a database of a PostgreSQL server.

    DATABASE=postgresql pytest tests/storage         # else SQLite

A database goes with a folder; a new one is a copy of one that was made before, since migrating anew for every test
would be slow.
"""

import hashlib
import os
import shutil
from abc import ABC, abstractmethod
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.engine import Engine

from webapp.config import Settings, settings
from webapp.storage.engine import engine

from . import postgres

POSTGRESQL = os.environ.get("DATABASE") == "postgresql"


class Databases(ABC):
    """A database for each data folder."""

    @abstractmethod
    def url(self, folder: Path) -> str:
        """The address of the database that goes with this data folder."""

    @abstractmethod
    def create(self, folder: Path) -> None:
        """Make it, empty, where that has to be done."""

    @abstractmethod
    def copy(self, source: Path, folder: Path) -> None:
        """Make it as a copy of another folder's, which nobody has open."""

    @abstractmethod
    def drop(self, folder: Path) -> None:
        """Have done with it."""

    def settings(self, folder: Path) -> Settings:
        """Those of a shop with that data folder."""
        return settings({"DATABASE_URL": self.url(folder)}, data=folder)

    @contextmanager
    def copied(self, source: Path, folder: Path) -> Iterator[Engine]:
        """Copy a database, and open it for a while."""
        self.copy(source, folder)
        made = engine(self.url(folder))
        try:
            yield made
        finally:
            made.dispose()

    @contextmanager
    def lent(self, source: Path, folder: Path) -> Iterator[Engine]:
        """The same, and then have done with it."""
        with self.copied(source, folder) as made:
            yield made
        self.drop(folder)


class Files(Databases):
    """SQLite: the folder holds it, and goes with it."""

    def url(self, folder: Path) -> str:
        return f"sqlite:///{folder / 'baybook.db'}"

    def create(self, folder: Path) -> None:
        pass

    def copy(self, source: Path, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        shutil.copy(source / "baybook.db", folder / "baybook.db")

    def drop(self, folder: Path) -> None:
        for path in folder.glob("baybook.db*"):
            path.unlink()


class Server(Databases):
    """PostgreSQL: named after the folder."""

    def __init__(self, socket: Path) -> None:
        self._socket = socket

    def url(self, folder: Path) -> str:
        return postgres.url(self._socket, _name(folder))

    def create(self, folder: Path) -> None:
        self._do(f"CREATE DATABASE {_name(folder)}")

    def copy(self, source: Path, folder: Path) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self._do(f"CREATE DATABASE {_name(folder)} TEMPLATE {_name(source)} STRATEGY file_copy")

    def drop(self, folder: Path) -> None:
        self._do(f"DROP DATABASE {_name(folder)} WITH (FORCE)")

    def _do(self, statement: str) -> None:
        with postgres.connected(self._socket) as connection:
            connection.execute(statement.encode())


def _name(folder: Path) -> str:
    return f"shop_{hashlib.sha256(str(folder).encode()).hexdigest()[:24]}"


@contextmanager
def opened() -> Iterator[Databases]:
    if not POSTGRESQL:
        yield Files()
        return
    with postgres.serving(postgres.FAST) as socket:
        yield Server(socket)
