"""`baybook verify`: records that were handed out, checked offline with nothing but the shop's public key."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePublicKey

from webapp.core.errors import BadInput, BaybookError
from webapp.core.proven import Finding, check
from webapp.signed_pdf import opened
from webapp.storage.keys import decoded, public_key, signed


def verify(files: Iterable[Path], key: Path) -> Iterator[dict[str, Any]]:
    """One answer a file: {"file", "unchanged": bool, "job", "ended_at", "findings": [{"code", "field", "message"}]}.

    Raises BadInput (`shop-key`) where the key's file holds no public key.
    """
    by = Key.read(key)
    for path in files:
        yield {"file": str(path), **_checked(path, by)}


@dataclass(frozen=True)
class Key:
    """The shop's public key."""

    key: EllipticCurvePublicKey

    @classmethod
    def read(cls, path: Path) -> "Key":
        try:
            return cls(public_key(json.loads(path.read_text())))
        except (BaybookError, ValueError) as error:
            what = f"--key {path} holds no public key of a shop; get it at the shop's address, /record-key.json"
            raise BadInput("shop-key", "key", what) from error

    def made(self, signature: bytes, said: bytes) -> bool:
        """Whether the shop signed that."""
        try:
            return signed(self.key, decoded(signature.decode(), "signature", 64), said)
        except (BadInput, UnicodeDecodeError):
            return False


def _checked(path: Path, by: Key) -> dict[str, Any]:
    found: list[Finding] = []
    about: dict[str, Any] = {}
    try:
        data = path.read_bytes()
        if data.startswith(b"%PDF-"):
            data, found = opened(data, by.key)
        given = json.loads(data)
        damaged = check(given, by.made)
        found += damaged
        if all(one.code != "entry-damaged" for one in damaged):
            about = json.loads(given["entry"])
    except BaybookError as error:
        found.append(Finding(error.code, error.field, error.message))
    except (OSError, ValueError, RecursionError) as error:
        found.append(Finding("record-format", "file", f"{path} is no record: {error}"))
    return {
        "unchanged": not found,
        "job": about.get("job"),
        "ended_at": about.get("at"),
        "findings": [{"code": one.code, "field": one.field, "message": one.message} for one in found],
    }
