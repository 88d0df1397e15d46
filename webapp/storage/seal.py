"""A supervisor's PIN, typed on a phone that is offline: sealed to the shop's key, so that only the server can read it.

The phone makes a key pair for this once (P-256), agrees on a secret with the shop's public key (ECDH), derives a key
from it (HKDF-SHA256, no salt, info `baybook pin`) and seals the PIN (AES-256-GCM, the event's id as additional data).
Whoever finds the phone has nothing to try PINs against, and a seal taken from one event opens with no other.
"""

from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.asymmetric.ec import ECDH
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF

from webapp.core.errors import BadInput
from webapp.storage.keys import as_jwk, decoded, public_key
from webapp.storage.own_keys import SEALING, private_key

INFO = b"baybook pin"
LONGEST = 64


def open_seal(folder: Path, sealed: Any, event: str) -> str:
    """The PIN in {"key": JWK, "iv", "box"}. Raises BadInput (`seal-unreadable`, or as `keys` does) for any other."""
    if not isinstance(sealed, dict):
        raise BadInput("seal-unreadable", "seal", "seal must be an object with key, iv and box")
    theirs, iv = public_key(sealed.get("key"), "seal.key"), decoded(sealed.get("iv"), "seal.iv", 12)
    box = decoded(sealed.get("box"), "seal.box")
    secret = HKDF(SHA256(), 32, None, INFO).derive(private_key(folder, SEALING).exchange(ECDH(), theirs))
    try:
        return AESGCM(secret).decrypt(iv, box[:LONGEST], event.encode()).decode()
    except (InvalidTag, UnicodeDecodeError, ValueError) as error:
        what = "seal does not open with this shop's key for this event; countersign again, online"
        raise BadInput("seal-unreadable", "seal", what) from error


def sealing_key(folder: Path) -> dict[str, str]:
    """The public key to seal with, as JWK. `folder` is the shop's data; the key is made on the first call."""
    return as_jwk(private_key(folder, SEALING).public_key())
