"""A copy of everything the shop keeps, made while it is served and tried out at once; and a shop put back from it.

With a key (age, https://age-encryption.org/v1: an X25519 identity in a file) every file of the copy is encrypted on its
own, so that a photo, which never changes, is written once.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from sqlalchemy.engine import make_url
from sqlalchemy.exc import DatabaseError

from webapp.config import Settings
from webapp.core.errors import BadInput, shown
from webapp.lockbox import Lockbox
from webapp.storage import own
from webapp.storage.copied import Copied, note_copied, try_out
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import writing
from webapp.storage.migrate import upgrade
from webapp.storage.own_keys import RECORDS, SEALING

DATABASE = "baybook.db"
BESIDE = ("secret", "address", SEALING, RECORDS, "record-key.crt")
FOLDERS = ("photos", "tls")


def backup(settings: Settings, folder: Path, key: Path | None = None) -> str:
    """Copy the shop to that folder, which may hold an older copy, and try the copy out. Return what was done.

    Raises BadInput (`backup`) where the database is no file in the data folder, the folder is the shop's own or holds
    a copy of the other sort, the key's file is no key, or the copy does not hold what it should.
    """
    data, source, box = settings.data, _database(settings), Lockbox.of(key)
    if folder.resolve() == data:
        raise _bad("FOLDER", folder, "is the shop's own data folder; name another one, best on another disk")
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    if box.other_sort(folder / DATABASE).exists():
        what = "holds a copy that is not encrypted" if key else "holds an encrypted copy, and no key was given"
        raise _bad("FOLDER", folder, f"{what}; name another folder, or back up as before")
    with TemporaryDirectory(dir=folder, prefix=".new-") as held:
        _copy_database(source, Path(held) / DATABASE)
        box.put(Path(held) / DATABASE, folder / DATABASE)
    # After the database, so that every photo that it tells of is in the copy: photos are only ever added.
    kept = [found for name in FOLDERS for found in (data / name).rglob("*") if found.is_file()]
    kept += [data / name for name in BESIDE if (data / name).exists()]
    new = sum(box.copy(path, folder / path.relative_to(data)) for path in kept)
    found = _tried(folder, box)
    made = engine_for(settings.database_url)
    with writing(made) as db:
        note_copied(db, found, str(folder.resolve()))
    made.dispose()
    return (
        f"The shop in {data} is copied to {folder}, with {new} files that were new. "
        f"The copy was put back elsewhere and tried out: {_told(found)}."
    )


def restore(settings: Settings, folder: Path, key: Path | None = None, replace: bool = False) -> str:
    """Put a copy back into an empty data folder, or go on from one that was put back there by hand.

    With `replace` a shop that is there is moved aside whole. The server must not run meanwhile. Raises BadInput
    (`restore`) where there is no sound copy, or a shop is there already and nothing was said of replacing it.
    """
    aside = ""
    if folder.resolve() != settings.data:
        box = Lockbox.of(key)
        if not box.place(folder / DATABASE).is_file():
            other = " without its key" if box.other_sort(folder / DATABASE).is_file() and not key else ""
            raise _bad("FOLDER", folder, f"holds no copy of a shop{other}: {DATABASE} is missing in it", code="restore")
        found = _tried(folder, box)
        if _database(settings).exists():
            aside = _out_of_the_way(settings, found, replace)
        for path in _files(folder, box):
            box.get(folder / path, settings.data / path)
    made = engine_for(settings.database_url)
    upgrade(made)
    found = try_out(made, settings.photos, _now())
    with writing(made) as db:
        name = own.begin_anew(db)
    made.dispose()
    return (
        f"The shop is in {settings.data}: {_told(found)}.{aside} Its own journal goes on as {name}; "
        "phones send again what is missing in it."
    )


def _out_of_the_way(settings: Settings, copy: Copied, replace: bool) -> str:
    """Move the shop that is there aside; or refuse, saying what would be replaced by what."""
    with TemporaryDirectory(prefix="baybook-") as held:  # it is not brought up to date where it lies
        _copy_database(_database(settings), Path(held) / DATABASE)
        there = _looked_through(Path(held) / DATABASE, settings.photos)
    if not replace:
        what = (
            f"holds a shop already: {_told(there)}; the copy has {_told(copy)}. "
            "Name another folder, or say --replace, which moves the shop that is there aside"
        )
        raise _bad("DATA", settings.data, what, code="restore")
    aside = settings.data.with_name(f"{settings.data.name}-before-{_now():%Y%m%dT%H%M%SZ}")
    settings.data.rename(aside)
    settings.data.mkdir(mode=0o700)
    return f" It replaces {_told(there)}, moved aside to {aside}."


def _tried(folder: Path, box: Lockbox) -> Copied:
    """The copy put back into a temporary place and looked through. Raises BadInput (`backup`) where it is not sound."""
    with TemporaryDirectory(dir=folder, prefix=".try-") as held:
        place = Path(held)
        for path in _files(folder, box):
            box.get(folder / path, place / path)
        return _looked_through(place / DATABASE, place / "photos")


def _looked_through(database: Path, photos: Path) -> Copied:
    made = engine_for(f"sqlite:///{database}")
    try:
        upgrade(made)
        return try_out(made, photos, _now())
    except DatabaseError as error:
        raise BadInput("backup", "copy", f"the copy is not sound: its database is damaged: {error.orig}") from error
    finally:
        made.dispose()


def _files(folder: Path, box: Lockbox) -> Iterator[Path]:
    """What a copy consists of, by the names that the files have in a data folder."""
    for path in sorted(folder.rglob("*")):
        part = path.relative_to(folder)
        if path.is_file() and not part.parts[0].startswith("."):
            yield box.name(part)


def _told(found: Copied) -> str:
    last = f", the last one finished {found.last[:16].replace('T', ' ')} UTC" if found.last else ""
    return f"{found.jobs} jobs{last}, {found.events} events, {found.photos} photos, {found.entries} entries of the log"


def _now() -> datetime:
    return datetime.now(UTC)


def _database(settings: Settings) -> Path:
    address = make_url(settings.database_url)
    if address.get_backend_name() != "sqlite" or Path(address.database or "").parent != settings.data:
        what = "DATABASE_URL is not a file in the data folder; copy that database with its own tools, then the folder"
        raise BadInput("backup", "DATABASE_URL", what)
    return Path(str(address.database))


def _copy_database(source: Path, target: Path) -> None:
    """As it is at one moment, whoever writes to it meanwhile."""
    with closing(sqlite3.connect(source)) as reading, closing(sqlite3.connect(target)) as writes:
        reading.backup(writes)
        writes.execute("PRAGMA journal_mode=DELETE")  # all of it in the one file


def _bad(name: str, path: Path, what: str, code: str = "backup") -> BadInput:
    return BadInput(code, name, f"{name}={shown(str(path))} {what}")
