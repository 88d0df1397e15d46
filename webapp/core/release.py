"""A release: the procedures and vehicles that head office gives out, numbered and signed.

Its manifest is one line of canonical JSON (RFC 8785): who released it, when and why, and each file of the library with
its size and SHA-256. Head office signs that line, so a shop can tell every byte of a release from any other. What a
manifest's file says lies beside it, found by its digest: of two releases that share it there is one.
"""

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import rfc8785

from .errors import BadInput, Conflict, shown
from .events import INSTANT
from .evidence import Signed
from .fields import Fields
from .measure.reading import Range

RELEASE = "baybook-release"
VERSION = 1
MOST_FILES, LARGEST_FILE, LARGEST_MANIFEST = 2_000, 200_000, 500_000
LONGEST_NOTE = 300
HEX = re.compile("[0-9a-f]{64}")
PLACE = re.compile(r"(?:shared/|vehicles/|translations/[A-Za-z-]{2,20}/)?[A-Za-z0-9_][A-Za-z0-9_.-]{0,80}\.yaml")
"""Where a file of a library can lie. A manifest says where files go at a shop, so nothing else is taken."""


@dataclass(frozen=True)
class File:
    """A file of a release: `place` in the library's folder, its SHA-256 in hexadecimal, its size in bytes."""

    place: str
    sha256: str
    size: int


@dataclass(frozen=True)
class Release:
    """What a manifest says. `made_by` is a name, as the shops are told it."""

    number: int
    made_at: str
    made_by: str
    note: str
    files: tuple[File, ...]

    def text(self) -> str:
        """The one spelling of it, which is signed and whose SHA-256 names it."""
        files = [{"place": one.place, "sha256": one.sha256, "size": one.size} for one in self.files]
        about = {"number": self.number, "made_at": self.made_at, "made_by": self.made_by, "note": self.note}
        said: dict[str, Any] = {RELEASE: VERSION, **about, "files": files}
        return rfc8785.dumps(said).decode()


def files_of(library: Mapping[str, bytes]) -> tuple[File, ...]:
    """A library's files, by their places, as a manifest tells of them."""
    return tuple(File(place, sha256(data), len(data)) for place, data in sorted(library.items()))


def sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def signed_text(manifest: str) -> bytes:
    """What head office's signature is over: its key signs heads of logs as well, and neither passes for the other."""
    return f"{RELEASE}\n{manifest}".encode()


def need_note(note: str) -> str:
    """The reason for a release, which every shop reads. Raises BadInput (`release-note`)."""
    words = " ".join(note.split())
    if not 0 < len(words) <= LONGEST_NOTE or not words.isprintable():
        what = f"note={shown(note)} must be 1 to {LONGEST_NOTE} characters: say to the shops why there is a release"
        raise BadInput("release-note", "note", what)
    return words


def read_manifest(manifest: str, signature: bytes, signed: Signed) -> Release:
    """What a manifest says that head office has signed; nothing of another one is looked at.

    Raises:
        BadInput: `release-forged`, `release-format`, or what `Fields` raises, naming the field.
        Conflict: `release-newer` for a form that this program is too old for.
    """
    if not signed(signature, signed_text(manifest)):
        what = "signature of the release is not head office's; nothing was taken: ask there who answers"
        raise BadInput("release-forged", "signature", what)
    try:
        given = json.loads(manifest) if len(manifest) <= LARGEST_MANIFEST else None
    except ValueError:
        given = None
    if not isinstance(given, dict) or type(given.get(RELEASE)) is not int:
        raise BadInput("release-format", RELEASE, f"{RELEASE} is missing: what was signed is no release")
    if given[RELEASE] > VERSION:
        what = f"{RELEASE}={given[RELEASE]} is newer than the {VERSION} that is read here; update Baybook in this shop"
        raise Conflict("release-newer", RELEASE, what)
    fields = Fields(given, "", [RELEASE, "number", "made_at", "made_by", "note", "files"])
    files = tuple(_file(one) for one in fields.each("files", MOST_FILES, ["place", "sha256", "size"]))
    if len({one.place for one in files}) != len(files):
        raise BadInput("release-format", "files", "files: one place is named twice; have head office release it anew")
    if not INSTANT.fullmatch(made_at := fields.text_or_none("made_at") or ""):
        raise BadInput("release-format", "made_at", f"made_at={shown(made_at)} must be an instant")
    return Release(
        int(fields.number("number", Range("", 1, 1e9))),
        made_at,
        fields.text_or_none("made_by") or "",
        fields.text_or_none("note") or "",
        files,
    )


def _file(fields: Fields) -> File:
    place, digest = fields.text_or_none("place") or "", fields.text_or_none("sha256") or ""
    if not PLACE.fullmatch(place):
        what = f"{fields.at('place')}={shown(place)} is no place in a library; nothing was taken"
        raise BadInput("release-place", fields.at("place"), what)
    if not HEX.fullmatch(digest):
        raise BadInput("release-format", fields.at("sha256"), f"{fields.at('sha256')}={shown(digest)} is no SHA-256")
    return File(place, digest, int(fields.number("size", Range("bytes", 0, LARGEST_FILE))))
