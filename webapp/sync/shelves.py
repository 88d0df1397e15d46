"""What a phone takes along to begin jobs alone: the library ready for use, and what changes from day to day.

Nearly every request finds nothing new, so nothing that takes long is worked out for one: the library's hash is kept
for as long as the library, and the shop's times until another job is finished.
"""

import hashlib
import json
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from sqlmodel import Session

from webapp.config import Settings
from webapp.core.procedure import Library, Vehicle
from webapp.core.shelf import Drawings, drawings_of, shelf
from webapp.library.tongues import drawings
from webapp.messages import ENGLISH, Tongue, english
from webapp.storage import times
from webapp.storage.seal import sealing_key
from webapp.sync.packet import what_is_accepted


@dataclass(frozen=True)
class Ready:
    """A library's shelf as JSON, and the SHA-256 of that text."""

    library: Library
    text: str
    hash: str


def whole_shelf(db: Session, library: Library, settings: Settings, held: str = "") -> tuple[str, str]:
    """All that a phone needs to begin a job alone, as JSON, and a hash of it for the ETag.

    `held` is the hash of the library that the phone has already: then only kit, people and times go over the wire.
    """
    ready = _ready(library)
    about = {**what_is_accepted(db), "times": _times(db, library), "sealing_key": _sealing_key(settings.data)}
    about["lock_after_s"] = settings.lock_after_s
    said = json.dumps({"library": ready.hash, **about}, sort_keys=True)
    etag = hashlib.sha256(said.encode()).hexdigest()
    return (said if held == ready.hash else f'{{"shelf":{ready.text},{said[1:]}'), etag


MOST_LIBRARIES = 2
"""The one in use, and the one before it: a shop that approves figures of its own makes another one."""

_made: dict[int, Ready] = {}
_drawn: dict[int, tuple[Vehicle, Drawings]] = {}


def _ready(library: Library) -> Ready:
    """Made once for a library, and again when the shop's own figures change: its drawings take a second or two."""
    known = _made.get(id(library))
    if known is None or known.library is not library:
        made = shelf(library, english, lambda vehicle: _drawings(library, vehicle))
        text = json.dumps(made, ensure_ascii=False, separators=(",", ":"))
        for old in [
            one for one, (vehicle, _) in _drawn.items() if library.vehicles.get(vehicle.vehicle) is not vehicle
        ]:
            del _drawn[old]
        while len(_made) >= MOST_LIBRARIES:
            del _made[next(iter(_made))]
        known = _made[id(library)] = Ready(library, text, hashlib.sha256(text.encode()).hexdigest())
    return known


def _drawings(library: Library, vehicle: Vehicle) -> Drawings:
    """A vehicle's drawings are made once, however often another one's figures change."""
    if id(vehicle) not in _drawn:
        _drawn[id(vehicle)] = vehicle, drawings_of(library, vehicle, english)
    return _drawn[id(vehicle)][1]


_texts: dict[tuple[int, Tongue], tuple[Library, str, str]] = {}


def texts(library: Library, spoken: Tongue) -> tuple[str, str]:
    """How the library and its drawings read in a language, as JSON, and a hash of it: by the English text itself."""
    asked = id(library), spoken
    if asked not in _texts or _texts[asked][0] is not library:
        drawn: dict[str, str] = {}
        for name in library.vehicles if spoken.code != ENGLISH else ():
            drawn |= drawings(library, name, spoken)
        said = {"texts": spoken.wording.texts, "drawn": drawn}
        text = json.dumps(said, ensure_ascii=False, separators=(",", ":"))
        for old in [one for one in _texts if one[1].code == spoken.code][MOST_LIBRARIES - 1 :]:
            del _texts[old]
        _texts[asked] = library, text, hashlib.sha256(text.encode()).hexdigest()
    return _texts[asked][1:]


@lru_cache
def _sealing_key(data: Path) -> dict[str, str]:
    return sealing_key(data)


_known: dict[str, tuple[tuple[str, int], dict[str, Any]]] = {}


def _times(db: Session, library: Library) -> dict[str, Any]:
    """How long each procedure takes here, as the plan page has it; those with too few jobs are left out."""
    shop, newest = str(db.get_bind().engine.url), times.newest(db)
    if _known.get(shop, ("", {}))[0] != newest:
        found = {name: times.expected(db, name) for name in library.procedures}
        _known[shop] = newest, {name: one for name, one in found.items() if one}
    return _known[shop][1]
