"""A copy of everything the shop keeps, made while it is served; and a shop put back from such a copy."""

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

from sqlalchemy.engine import make_url

from webapp.config import Settings
from webapp.core.errors import BadInput, shown
from webapp.storage import own
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import writing
from webapp.storage.migrate import upgrade
from webapp.storage.own_keys import RECORDS, SEALING

DATABASE = "baybook.db"
BESIDE = ("secret", "address", SEALING, RECORDS)
FOLDERS = ("photos", "tls")


def backup(settings: Settings, folder: Path) -> str:
    """Copy the shop to that folder, which may hold an older copy. Return what was done, in a sentence.

    Raises BadInput (`backup`) where the database is no file in the data folder, or the folder is the shop's own.
    """
    data, source = settings.data, _database(settings)
    if folder.resolve() == data:
        raise _bad("FOLDER", folder, "is the shop's own data folder; name another one, best on another disk")
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    _copy_database(source, folder / DATABASE)
    # After the database, so that every photo that it tells of is in the copy: photos are only ever added.
    kept = [found for name in FOLDERS for found in (data / name).rglob("*") if found.is_file()]
    kept += [data / name for name in BESIDE if (data / name).exists()]
    new = sum(_copy(path, folder / path.relative_to(data)) for path in kept)
    return f"The shop in {data} is copied to {folder}, with {new} files that were new."


def restore(settings: Settings, folder: Path) -> str:
    """Put a copy back into an empty data folder, or go on from one that was put back there by hand.

    The server must not run meanwhile. Raises BadInput (`restore`) where there is no copy, or a shop is there already.
    """
    if folder.resolve() != settings.data:
        if not (folder / DATABASE).is_file():
            raise _bad("FOLDER", folder, f"holds no copy of a shop: {DATABASE} is missing in it", code="restore")
        if _database(settings).exists():
            what = "holds a shop already; move it away first, or name another folder"
            raise _bad("DATA", settings.data, what, code="restore")
        shutil.copytree(folder, settings.data, dirs_exist_ok=True)
    made = engine_for(settings.database_url)
    upgrade(made)
    with writing(made) as db:
        name = own.begin_anew(db)
    made.dispose()
    return (
        f"The shop is in {settings.data}. Its own journal goes on as {name}; phones send again what is missing in it."
    )


def _database(settings: Settings) -> Path:
    address = make_url(settings.database_url)
    if address.get_backend_name() != "sqlite" or Path(address.database or "").parent != settings.data:
        what = "DATABASE_URL is not a file in the data folder; copy that database with its own tools, then the folder"
        raise BadInput("backup", "DATABASE_URL", what)
    return Path(str(address.database))


def _copy_database(source: Path, target: Path) -> None:
    """As it is at one moment, whoever writes to it meanwhile."""
    new = target.with_suffix(".new")
    new.unlink(missing_ok=True)
    with closing(sqlite3.connect(source)) as reading, closing(sqlite3.connect(new)) as writes:
        reading.backup(writes)
        writes.execute("PRAGMA journal_mode=DELETE")  # all of it in the one file
    new.replace(target)


def _copy(source: Path, target: Path) -> bool:
    """Copy a file with its rights, unless the very same is there; whether that was done."""
    if target.exists() and target.read_bytes() == source.read_bytes():
        return False
    target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    shutil.copy2(source, target)
    return True


def _bad(name: str, path: Path, what: str, code: str = "backup") -> BadInput:
    return BadInput(code, name, f"{name}={shown(str(path))} {what}")
