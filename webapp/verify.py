"""`baybook verify`: records that were handed out, checked offline with nothing but the shop's public key."""

import json
from collections.abc import Iterable, Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

from webapp.core.errors import BadInput, BaybookError, shown
from webapp.core.evidence import Signed
from webapp.core.proven import Finding, check
from webapp.storage.keys import decoded, public_key, signed

ATTACHED = "record.json"
"""What a record's PDF carries its file as."""


def verify(files: Iterable[Path], key: Path) -> Iterator[dict[str, Any]]:
    """One answer a file: {"file", "unchanged": bool, "job", "ended_at", "findings": [{"code", "field", "message"}]}.

    Raises BadInput (`shop-key`) where the key's file holds no public key.
    """
    by = _signed(key)
    for path in files:
        yield {"file": str(path), **_checked(path, by)}


def _signed(path: Path) -> Signed:
    try:
        key = public_key(json.loads(path.read_text()))
    except (BaybookError, ValueError) as error:
        what = f"--key {path} holds no public key of a shop; get it at the shop's address, /record-key.json"
        raise BadInput("shop-key", "key", what) from error

    def made(signature: bytes, said: bytes) -> bool:
        try:
            return signed(key, decoded(signature.decode(), "signature", 64), said)
        except (BadInput, UnicodeDecodeError):
            return False

    return made


def _checked(path: Path, by: Signed) -> dict[str, Any]:
    try:
        given = json.loads(_content(path))
        found = check(given, by)
        about = json.loads(given["entry"]) if not any(one.code == "entry-damaged" for one in found) else {}
    except BaybookError as error:
        found, about = [Finding(error.code, error.field, error.message)], {}
    except (OSError, ValueError, RecursionError) as error:
        found, about = [Finding("record-format", "file", f"{path} is no record: {error}")], {}
    return {
        "unchanged": not found,
        "job": about.get("job"),
        "ended_at": about.get("at"),
        "findings": [{"code": one.code, "field": one.field, "message": one.message} for one in found],
    }


def _content(path: Path) -> bytes:
    data = path.read_bytes()
    return _attached(data) if data.startswith(b"%PDF-") else data


def _attached(pdf: bytes) -> bytes:
    """The record's file out of its PDF. Raises BadInput (`record-format`) where there is none, or more than one."""
    from pypdf import PdfReader  # not needed for anything else the command does
    from pypdf.errors import PyPdfError

    try:
        found = PdfReader(BytesIO(pdf)).attachments.get(ATTACHED, [])
    except (PyPdfError, ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise BadInput("record-format", "file", f"the file is a damaged PDF: {shown(str(error))}") from error
    if len(found) != 1:
        what = f"the file is a PDF with {len(found)} attachments named {ATTACHED}, a record's has one"
        raise BadInput("record-format", "file", what)
    return found[0]
