"""A shop asks head office for its newest release, at its quiet moments: what is new is fetched, file by file, and
looked through before anybody here is offered it.

A file that came stays, by its digest, so a line that breaks off costs one file. Nothing of a release counts before all
of it is here, signed by head office, and found good by the checks of `baybook lint`. What is refused is written down.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass

from sqlalchemy.engine import Engine

from webapp.config import Settings
from webapp.core.errors import BadInput, BaybookError, Unavailable
from webapp.core.release import Release, read_manifest
from webapp.library import stock
from webapp.storage import outbox, people, releases
from webapp.storage.engine import session, writing
from webapp.storage.keys import decoded, public_key, signed
from webapp.storage.outbox_tables import HeadOffice
from webapp.sync.asking import Answer, Exchange, ask, need_good, said_in


@dataclass(frozen=True)
class Pulled:
    """What came of asking: the number of a release that waits for somebody's decision now, else None; whether head
    office was told of something.
    """

    number: int | None
    told: bool


def pull(engine: Engine, settings: Settings, exchange: Exchange, now: str) -> Pulled | None:
    """Tell head office what was decided here, and ask it for its newest release; None for a shop that has none.

    What keeps a release from being taken is written down for the shop's page, and raised.
    """
    with session(engine) as db:
        office = outbox.head_office(db)
    if office is None:
        return None
    pulling = _Pulling(engine, settings, office, exchange, now)
    try:
        told = pulling.tell()
        number = pulling.fetch()
    except Unavailable:
        with writing(engine) as db:  # the line, and no fault of a release: what was said of that stands
            known = releases.asked(db)
            releases.note_asked(db, now, known.code, known.why)
        raise
    except BaybookError as error:
        with writing(engine) as db:
            releases.note_asked(db, now, error.code, error.message)
        raise
    with writing(engine) as db:
        releases.note_asked(db, now)
    return Pulled(number, told)


@dataclass(frozen=True)
class _Pulling:
    """One turn, with all that it needs."""

    engine: Engine
    settings: Settings
    office: HeadOffice
    exchange: Exchange
    now: str

    def tell(self) -> bool:
        """Tell what was decided here since head office heard of it last."""
        with session(self.engine) as db:
            names = {one.code: one.name for one in people.everyone(db)}
            new = releases.untold(db, self.office, names)
        if new is None:
            return False
        body = json.dumps({name: new[name] for name in ("answers", "works_by")}, ensure_ascii=False).encode()
        said_in(self._ask("POST", "/office/releases/answers", {"Content-Type": "application/json"}, body))
        with writing(self.engine) as db:
            releases.note_told(db, new["upto"], new["turn"])
        return True

    def fetch(self) -> int | None:
        """Fetch the newest release, where it is other than the last one that is held here."""
        with session(self.engine) as db:
            held = releases.newest(db, self.office)
        answer = self._ask("GET", "/office/releases/newest", {"If-None-Match": f'"{held.sha256}"'} if held else {})
        if answer.status in (204, 304):
            return None
        given = said_in(answer)
        said, signature = self._read(given.get("manifest"), given.get("signature"))
        with session(self.engine) as db:
            releases.need_newer(db, self.office, said)
            wanted = releases.lacking(db, said)
        for digest in wanted:
            self._fetch_file(digest)
        with session(self.engine) as db:
            files = releases.files_of(db, said)
        need_good_library(said, files)
        with writing(self.engine) as db:
            releases.need_newer(db, self.office, said)
            return releases.keep(db, self.office, said, signature, self.now).number

    def _read(self, manifest: object, signature: object) -> tuple[Release, str]:
        """A release as head office's key has signed it."""
        if not isinstance(manifest, str) or not isinstance(signature, str):
            raise BadInput("release-format", "manifest", "manifest and signature of the release must be texts")
        key = public_key(json.loads(self.office.key))
        said = read_manifest(manifest, decoded(signature, "signature", 64), lambda one, text: signed(key, one, text))
        if said.text() != manifest:
            raise BadInput("release-format", "manifest", "manifest is not in the one spelling that is signed")
        return said, signature

    def _fetch_file(self, digest: str) -> None:
        answer = self._ask("GET", f"/office/releases/files/{digest}")
        need_good(answer)
        with writing(self.engine) as db:
            releases.keep_file(db, digest, answer.body)

    def _ask(self, method: str, path: str, headers: Mapping[str, str] | None = None, body: bytes = b"") -> Answer:
        return ask(self.settings, self.office, self.exchange, self.now, method, path, headers, body)


def need_good_library(said: Release, files: Mapping[str, bytes]) -> None:
    """Raise BadInput (`release-unfit`) for a release that this program would not work with, naming file and line."""
    try:
        stock.need_workable(stock.of_files(files))
    except BadInput as error:
        what = f"release={said.number} cannot be worked with here: {error.message}"
        raise BadInput("release-unfit", "release", what) from error
