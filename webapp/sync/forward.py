"""A shop sends its finished jobs to head office: what waits, in its order, then the photos, in pieces.

Whatever fails is written down, shown and tried again later; nothing that head office has not answered for is ever taken
out of the outbox.
"""

import gzip
import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from urllib.parse import urlsplit

from sqlalchemy.engine import Engine

from webapp.config import Settings
from webapp.core.errors import BadInput, BaybookError, Conflict, shown
from webapp.storage import log, outbox, releases
from webapp.storage.attachments import photo_path
from webapp.storage.engine import session, writing
from webapp.storage.keys import as_jwk, encoded, public_key, sign
from webapp.storage.kit_told import kit_told
from webapp.storage.moments import later
from webapp.storage.outbox_tables import Cosigned, HeadOffice, KeptApart
from webapp.storage.own_keys import RECORDS, private_key
from webapp.storage.pieces import LARGEST_PIECE
from webapp.sync.asking import Answer, Exchange, ask, need_good, reached, said_in
from webapp.sync.signed import JOIN

SHORTEST_S, LONGEST_S = 5.0, 900.0
PIECE = LARGEST_PIECE // 4
"""Bytes of a photo at once: what is cut off is sent again."""
BEHIND = ("log-since", "entry-gap")
"""Head office has come further than this shop knows, or not as far: it is asked, and goes by the answer."""


@dataclass(frozen=True)
class Sent:
    """What one turn did: how many entries arrived, how many bytes went out, and whether more waits."""

    entries: int
    sent_bytes: int
    more: bool


def join(engine: Engine, settings: Settings, url: str, code: str, exchange: Exchange, authority: str, now: str) -> str:
    """Join the head office at that address with the code that it made; return what it calls this shop.

    Joining anew keeps what head office signed before. Raises BadInput (`office-url`), Unavailable (`office-away`), or
    what head office refuses.
    """
    if urlsplit(url).scheme not in ("http", "https") or not urlsplit(url).netloc:
        raise BadInput(
            "office-url", "url", f"url={shown(url)} must be head office's address, such as https://name:8443"
        )
    key = private_key(settings.data, RECORDS)
    proof = encoded(sign(key, f"{JOIN}\n{code}".encode()))
    body = json.dumps({"code": code, "key": as_jwk(key.public_key()), "signature": proof}).encode()
    said = said_in(reached(exchange, "POST", "/office/join", {"Content-Type": "application/json"}, body))
    public_key(said.get("key"))
    with writing(engine) as db:
        was = db.get(HeadOffice, 1)
        if was is None or was.shop != said["shop"]:
            for table in (Cosigned, KeptApart):
                for row in outbox.every(db, table):
                    db.delete(row)
        made = was or HeadOffice(url="", shop="", name="", key="", joined_at="")
        made.url, made.shop, made.name, made.key = url.rstrip("/"), said["shop"], said["name"], json.dumps(said["key"])
        made.authority, made.joined_at, made.size, made.head_size = authority, now, 0, 0
        outbox.note_done(db, made, now)
        releases.tell_anew(db)
    return str(said["name"])


def turn(engine: Engine, settings: Settings, exchange: Exchange, version: str, now: str, luck: float) -> Sent | None:
    """Send the next of what waits; None where this shop has no head office. `luck` from 0 to 1 spreads the next try.

    What fails is written down with the outbox, and raised.
    """
    with session(engine) as db:
        office = outbox.head_office(db)
        waits = office is not None and (log.size_of(db) != office.size or log.size_of(db) != office.head_size)
    if office is None:
        return None
    sending = _Sending(engine, settings, office, exchange, version, now)
    try:
        if office.failures and sending.has_news():  # asked first: a dead line is not worth the making of a bundle
            return Sent(0, 0, True)
        return sending.entries() if waits else sending.photos()
    except BaybookError as error:
        with writing(engine) as db:
            held = db.get_one(HeadOffice, 1)
            next_at = later(now, wait_s(held.failures, luck))
            outbox.note_failed(db, held, error.code, error.message, now, next_at)
        raise


def wait_s(failures: int, luck: float) -> float:
    """Seconds until the next try: twice as long each time, up to a quarter of an hour, and never all shops at once."""
    longest: float = min(LONGEST_S, SHORTEST_S * 2 ** min(failures, 20))
    return longest * (0.5 + luck / 2)


@dataclass(frozen=True)
class _Sending:
    """One turn, with all that it needs."""

    engine: Engine
    settings: Settings
    office: HeadOffice
    exchange: Exchange
    version: str
    now: str

    def entries(self) -> Sent:
        with writing(self.engine) as db:
            head = log.head(db, self.settings.data, self.now)
        with session(self.engine) as db:
            made = outbox.bundle(db, self.office, head, self.version)
        body = gzip.compress(json.dumps(made, ensure_ascii=False, separators=(",", ":")).encode(), 6, mtime=0)
        packed = {"Content-Type": "application/json", "Content-Encoding": "gzip"}
        try:
            said = said_in(self._ask("POST", "/office/bundles", packed, body))
        except Conflict as error:
            if error.code not in BEHIND or not self.has_news():
                raise
            return Sent(0, len(body), True)
        with writing(self.engine) as db:
            held = db.get_one(HeadOffice, 1)
            before = held.size
            outbox.note_taken(db, held, said, self.now)
            more = log.size_of(db) > held.size or held.photos > 0
        return Sent(held.size - before, len(body), more)

    def has_news(self) -> bool:
        """Ask how far head office has come; whether that is other than this shop thought."""
        return self._go_by(said_in(self._ask("GET", "/office/standing")))

    def _go_by(self, standing: Mapping[str, Any]) -> bool:
        """Take over how far head office says that this shop's log has come; whether that is news."""
        with writing(self.engine) as db:
            held = db.get_one(HeadOffice, 1)
            known = (held.size, held.head_size)
            held.size, held.head_size = int(standing["size"]), int(standing["head_size"])
            db.add(held)
        return known != (held.size, held.head_size)

    def photos(self) -> Sent:
        """Send one of the photos that head office lacks. A shop that was put back learns here that it lies behind."""
        standing = said_in(self._ask("GET", "/office/standing"))
        if self._go_by(standing):
            return Sent(0, 0, True)
        self._tell_kit(standing)
        lacking = [str(one) for one in standing["photos"]]
        with session(self.engine) as db:
            here = outbox.photos_here(db, lacking)
        sent = self._photo(here[0]) if here else 0
        with writing(self.engine) as db:
            held = db.get_one(HeadOffice, 1)
            held.photos = max(0, len(here) - 1)
            outbox.note_done(db, held, self.now)
        return Sent(0, sent, held.photos > 0)

    def _tell_kit(self, standing: Mapping[str, Any]) -> None:
        """Tell of the kit, if it is other than head office was told last. One of an older version does not ask."""
        if "kit" not in standing:
            return
        with session(self.engine) as db:
            body = kit_told(db, date.fromisoformat(self.now[:10]))
        if hashlib.sha256(body).hexdigest() != standing["kit"]:
            need_good(self._ask("PUT", "/office/kit", {"Content-Type": "application/json"}, body))

    def _photo(self, name: str) -> int:
        data = photo_path(self.settings.photos, name).read_bytes()
        path, sent = f"/office/photos/{name}", 0
        answer = self._ask("HEAD", path)
        while answer.headers.get("upload-complete") != "?1":
            need_good(answer)
            offset = int(answer.headers["upload-offset"])
            piece = data[offset : offset + PIECE]
            where = {"Upload-Offset": str(offset), "Upload-Length": str(len(data))}
            answer = self._ask("PATCH", path, where, piece)
            sent += len(piece)
        return sent

    def _ask(self, method: str, path: str, headers: Mapping[str, str] | None = None, body: bytes = b"") -> Answer:
        return ask(self.settings, self.office, self.exchange, self.now, method, path, headers, body)


__all__ = ["Answer", "Exchange", "Sent", "join", "turn", "wait_s"]
