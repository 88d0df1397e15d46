"""Who sent a request: the phone whose key has signed it.

    Authorization: Baybook device=phone-…, at=2026-03-02T08:00:00.000Z, signature=…

The signature (ECDSA P-256 over SHA-256, r and s in base64url) is over four lines: the method, the path with its query,
`at`, and the SHA-256 of the body in hexadecimal. `at` is the phone's clock when it sent this. Nothing is refused for
its age: a phone's clock may be wrong, and a request that comes twice does no more than once.
"""

import hashlib
import re
from dataclasses import dataclass

from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePublicKey
from sqlmodel import Session

from webapp.core.errors import BadInput, NotAllowed, shown
from webapp.core.events import INSTANT
from webapp.storage.devices import device_of, key_of
from webapp.storage.keys import decoded, signed
from webapp.storage.moments import seconds_between
from webapp.storage.phone_tables import Device

HEADER = re.compile(
    r"Baybook +(device|shop)=([a-z0-9-]{1,40}), *at=([0-9TZ:.-]{24}), *signature=([A-Za-z0-9_-]{1,200})"
)

JOIN = "baybook-join"
"""Begins what a shop signs to join head office."""

SEEN_AGAIN_S = 60.0


class NotSigned(NotAllowed):
    """Nobody is known by whom this was sent."""


@dataclass(frozen=True)
class Sender:
    device: Device
    at: str
    signature: str

    def news(self, now: str, app: str | None, unsent: int | None = None) -> float | None:
        """The server's clock less the phone's, where that is worth writing down: not for every question it asks."""
        seen = self.device.seen_at
        is_old = app in (None, self.device.app) and unsent == self.device.unsent
        if is_old and seen and seconds_between(seen, now) < SEEN_AGAIN_S:
            return None
        return seconds_between(self.at, now)


def sender(db: Session, authorization: str, method: str, path: str, body: bytes) -> Sender:
    """The phone that sent this, paired or revoked.

    Raises NotSigned (`not-signed`, `signature-wrong`) or NotFound (`device-unknown`).
    """
    claimed = claim(authorization, "device", "only paired phones may ask this")
    device = device_of(db, claimed.name)
    if not claimed.holds(key_of(device), method, path, body):
        what = (
            f"signature={shown(claimed.signature)} is not that of device '{device.id}' under this request; "
            "pair the phone anew"
        )
        raise NotSigned("signature-wrong", "signature", what)
    return Sender(device, claimed.at, claimed.signature)


@dataclass(frozen=True)
class Claim:
    """Who says to have sent a request, and when; `holds` tells whether it is so."""

    name: str
    at: str
    signature: str

    def holds(self, key: EllipticCurvePublicKey, method: str, path: str, body: bytes) -> bool:
        try:
            return signed(key, decoded(self.signature, "signature", 64), under(method, path, self.at, body))
        except BadInput:
            return False


def claim(authorization: str, who: str, only: str) -> Claim:
    """What the header says; `who` is `device` or `shop`. Raises NotSigned (`not-signed`), which says `only` who may."""
    match = HEADER.fullmatch(authorization)
    if match is None or match[1] != who or not INSTANT.fullmatch(match[3]):
        what = f"Authorization must be: Baybook {who}=…, at=…, signature=…; {only}"
        raise NotSigned("not-signed", "authorization", what)
    return Claim(match[2], match[3], match[4])


def under(method: str, path: str, at: str, body: bytes) -> bytes:
    """What stands over the signature of a request."""
    return "\n".join((method, path, at, hashlib.sha256(body).hexdigest())).encode()


def need_paired(device: Device) -> None:
    """Raise NotAllowed (`device-revoked`) for a phone that has been turned away."""
    if device.revoked_at:
        what = (
            f"device='{device.id}' was turned away on {device.revoked_at[:10]}; a manager decides about what it brings"
        )
        raise NotAllowed("device-revoked", "device", what)
