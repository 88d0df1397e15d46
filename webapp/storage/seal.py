"""A supervisor's PIN, typed on a phone that is offline: sealed to the shop's key, so that only the server can read it.

The phone makes a key pair for this once (P-256), agrees on a secret with the shop's public key (ECDH), derives a key
from it (HKDF-SHA256, no salt, info `baybook pin`) and seals the PIN (AES-256-GCM, the event's id as additional data).
Whoever finds the phone has nothing to try PINs against, and a seal taken from one event opens with no other.
"""

import os
import secrets
from functools import lru_cache
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.asymmetric.ec import ECDH, SECP256R1, EllipticCurvePrivateKey, generate_private_key
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)

from webapp.core.errors import BadInput
from webapp.storage.keys import as_jwk, decoded, public_key

INFO = b"baybook pin"
LONGEST = 64


def open_seal(folder: Path, sealed: Any, event: str) -> str:
    """The PIN in {"key": JWK, "iv", "box"}. Raises BadInput (`seal-unreadable`, or as `keys` does) for any other."""
    if not isinstance(sealed, dict):
        raise BadInput("seal-unreadable", "seal", "seal must be an object with key, iv and box")
    theirs, iv = public_key(sealed.get("key"), "seal.key"), decoded(sealed.get("iv"), "seal.iv", 12)
    box = decoded(sealed.get("box"), "seal.box")
    secret = HKDF(SHA256(), 32, None, INFO).derive(_key(folder).exchange(ECDH(), theirs))
    try:
        return AESGCM(secret).decrypt(iv, box[:LONGEST], event.encode()).decode()
    except (InvalidTag, UnicodeDecodeError, ValueError) as error:
        what = "seal does not open with this shop's key for this event; countersign again, online"
        raise BadInput("seal-unreadable", "seal", what) from error


def sealing_key(folder: Path) -> dict[str, str]:
    """The public key to seal with, as JWK. `folder` is the shop's data; the key is made on the first call."""
    return as_jwk(_key(folder).public_key())


@lru_cache(maxsize=8)
def _key(folder: Path) -> EllipticCurvePrivateKey:
    path = folder / "sealing-key.pem"
    if not path.exists():
        _make(path)
    found = load_pem_private_key(path.read_bytes(), None)
    if not isinstance(found, EllipticCurvePrivateKey):
        raise BadInput(
            "bad-setting", "DATA", f"DATA holds a damaged file {path.name}; delete it, and phones fetch a new one"
        )
    return found


def _make(path: Path) -> None:
    """Linking a finished file lets two servers start at once."""
    new = path.with_name(f".sealing-{secrets.token_hex(8)}")
    pem = generate_private_key(SECP256R1()).private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    with os.fdopen(os.open(new, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
        file.write(pem)
        file.flush()
        os.fsync(file.fileno())
    try:
        os.link(new, path)
    except FileExistsError:
        pass  # another server was faster; its key is the shop's
    finally:
        new.unlink()
