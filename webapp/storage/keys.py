"""Keys as browsers give them away: P-256 public keys as JWK (RFC 7517), signatures as r and s, 64 bytes."""

import base64
import binascii
import json
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ec import (
    ECDSA,
    SECP256R1,
    EllipticCurvePrivateKey,
    EllipticCurvePublicKey,
    EllipticCurvePublicNumbers,
)
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature, encode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256

from webapp.core.errors import BadInput, shown

BYTES = 32
"""Of one coordinate, and of each half of a signature."""


def decoded(text: object, field: str, size: int | None = None) -> bytes:
    """The bytes of a base64url text without padding. Raises BadInput (`not-base64url`) naming the field."""
    try:
        if not isinstance(text, str):
            raise ValueError
        found = base64.b64decode(text + "=" * (-len(text) % 4), altchars=b"-_", validate=True)
    except (ValueError, binascii.Error):
        found = None
    if found is None or (size is not None and len(found) != size):
        what = f"{size} bytes in base64url" if size else "base64url"
        raise BadInput("not-base64url", field, f"{field}={shown(text)} must be {what}, without padding")
    return found


def encoded(data: bytes) -> str:
    """Base64url without padding."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def public_key(given: object, field: str = "key") -> EllipticCurvePublicKey:
    """The key that a JWK says: {"kty": "EC", "crv": "P-256", "x", "y"}. Raises BadInput (`key-unusable`)."""
    if not isinstance(given, dict) or given.get("kty") != "EC" or given.get("crv") != "P-256" or "d" in given:
        raise BadInput("key-unusable", field, f"{field}={shown(given)} must be a public P-256 key as JWK")
    x, y = (decoded(given.get(name), f"{field}.{name}", BYTES) for name in ("x", "y"))
    try:
        return EllipticCurvePublicNumbers(int.from_bytes(x), int.from_bytes(y), SECP256R1()).public_key()
    except ValueError as error:
        raise BadInput("key-unusable", field, f"{field}: x and y are no point of the curve P-256") from error


def plain_jwk(given: dict[str, Any]) -> str:
    """The same key in one spelling, whatever else came along with it."""
    return json.dumps({name: given[name] for name in ("crv", "kty", "x", "y")}, separators=(",", ":"))


def as_jwk(key: EllipticCurvePublicKey) -> dict[str, str]:
    """A public key as JWK."""
    numbers = key.public_numbers()
    x, y = (encoded(one.to_bytes(BYTES)) for one in (numbers.x, numbers.y))
    return {"crv": "P-256", "kty": "EC", "x": x, "y": y}


def signed(key: EllipticCurvePublicKey, signature: bytes, said: bytes) -> bool:
    """Whether whoever holds the key's other half has signed these bytes (ECDSA over SHA-256)."""
    r, s = (int.from_bytes(half) for half in (signature[:BYTES], signature[BYTES:]))
    try:
        key.verify(encode_dss_signature(r, s), said, ECDSA(SHA256()))
    except (InvalidSignature, ValueError):
        return False
    return len(signature) == 2 * BYTES


def sign(key: EllipticCurvePrivateKey, said: bytes) -> bytes:
    """These bytes signed, as `signed` reads it."""
    r, s = decode_dss_signature(key.sign(said, ECDSA(SHA256())))
    return r.to_bytes(BYTES) + s.to_bytes(BYTES)
