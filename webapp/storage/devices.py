"""Phones: let in by a one-time code that a person makes, known by a key of their own, turned away when revoked."""

import hashlib
import json
import re
import secrets
from typing import Any

from sqlmodel import Session, col, select

from webapp.core.errors import BadInput, Conflict, NotAllowed, NotFound, shown
from webapp.storage.codes import CHARACTERS
from webapp.storage.keys import plain_jwk, public_key
from webapp.storage.moments import later
from webapp.storage.phone_tables import Device, Pairing

CODE_LENGTH = 8
CODE_LASTS_S = 600
NAME_CHARACTERS = 60
OURS = re.compile(r"phone-[0-9a-f]{16}")


def make_code(db: Session, by: str, now: str) -> str:
    """A new pairing code, good for one phone and ten minutes; only its hash is kept. `by` is the maker's badge."""
    code = "".join(secrets.choice(CHARACTERS) for _ in range(CODE_LENGTH))
    db.add(Pairing(code_hash=_hash(code), made_by=by, ends_at=later(now, CODE_LASTS_S)))
    db.flush()
    return code


def pair(
    db: Session, code: str, key: Any, name: str, now: str, was: str | None = None, origin: str | None = None
) -> Device:
    """Let a phone in. `was` is the name it had here before: a phone that was revoked, or that a restored backup does
    not know, keeps it, and with it its journal, if it has the same key. `origin` is the address it came to.

    Raises BadInput (`key-unusable`, `device-name`), NotAllowed (`pairing-code`) or Conflict (`device-other-key`).
    """
    public_key(key)
    jwk, called = plain_jwk(key), " ".join(name.split())[:NAME_CHARACTERS] or "Phone"
    pairing = _redeemed(db, code, now)
    device = _known(db, was, jwk)
    if device is None:
        name = was or f"phone-{secrets.token_hex(8)}"
        device = Device(id=name, name=called, key=jwk, paired_at=now, paired_by=pairing.made_by)
    device.name, device.paired_at, device.paired_by = called, now, pairing.made_by
    device.key, device.revoked_at, device.revoked_by, device.revoked_why = jwk, None, None, None
    device.origin = origin
    pairing.used_at, pairing.device = now, device.id
    db.add(device)
    db.add(pairing)
    db.flush()
    return device


def _redeemed(db: Session, code: str, now: str) -> Pairing:
    # How it is wrong is not told: whoever guesses shall not learn that a code was once right.
    pairing = db.get(Pairing, _hash(code), with_for_update=True)
    if pairing is None or pairing.used_at or pairing.ends_at < now:
        what = "code is not one that waits for a phone: it is good once and for ten minutes; have a new one made"
        raise NotAllowed("pairing-code", "code", what)
    return pairing


def _known(db: Session, was: str | None, jwk: str) -> Device | None:
    if was is None:
        return None
    if not OURS.fullmatch(was):
        raise BadInput("device-name", "device", f"device={shown(was)} is not a name that a phone was given here")
    known = db.get(Device, was)
    if known and known.key not in (jwk, ""):
        what = f"device={shown(was)} is another phone's name, by its key; pair this one without a name"
        raise Conflict("device-other-key", "device", what)
    return known


def _hash(code: str) -> str:
    return hashlib.sha256("".join(code.split()).replace("-", "").upper().encode()).hexdigest()


def devices(db: Session) -> list[Device]:
    """All phones, those still let in first, by name."""
    return list(db.exec(select(Device).order_by(col(Device.revoked_at).is_not(None), Device.name, Device.id)))


def keys(db: Session) -> dict[str, dict[str, str]]:
    """The public keys by which one phone knows another's answer: {device: {"name", "x", "y"}} of those still let in."""
    let_in = select(Device).where(col(Device.revoked_at).is_(None), Device.key != "").order_by(Device.id)
    known = ((one, json.loads(one.key)) for one in db.exec(let_in))
    return {one.id: {"name": one.name, "x": key["x"], "y": key["y"]} for one, key in known}


def note_seen(db: Session, name: str, now: str, offset_s: float, app: str | None, unsent: int | None = None) -> None:
    """A phone was heard of: when, what its clock is off, which app it runs, how much it has still to send."""
    device = device_of(db, name)
    device.seen_at, device.offset_s, device.app = now, round(offset_s, 3), app or device.app
    device.unsent = unsent
    db.add(device)


def stranded(db: Session, origin: str) -> list[Device]:
    """The phones that were paired at another address than this one, and not turned away since."""
    elsewhere = col(Device.origin).startswith("https://") & (col(Device.origin) != origin)
    return [one for one in db.exec(select(Device).where(elsewhere).order_by(Device.name)) if not one.revoked_at]


def device_of(db: Session, name: str) -> Device:
    """The phone of that name. Raises NotFound (`device-unknown`)."""
    if (found := db.get(Device, name)) is None:
        raise unknown(name)
    return found


def unknown(name: str) -> NotFound:
    return NotFound(
        "device-unknown", "device", f"device={shown(name)} is not paired with this shop; pair the phone first"
    )


def revoke(db: Session, name: str, by: str, now: str, why: str = "") -> None:
    """Turn a phone away from now on. What it has brought stays. Raises NotFound (`device-unknown`)."""
    device = device_of(db, name)
    if device.revoked_at is None:
        device.revoked_at, device.revoked_by, device.revoked_why = now, by, why
    db.add(device)


def device_of_file(db: Session, name: str, by: str, now: str) -> Device:
    """The phone that wrote a journal file; one that is not known here is made, without a key and turned away.

    Raises BadInput (`device-name`) for what is no phone's name.
    """
    if found := db.get(Device, name):
        return found
    if not OURS.fullmatch(name):
        raise BadInput("device-name", "device", f"device={shown(name)} is not a name that a phone was given here")
    made = Device(id=name, name="From a file", key="", paired_at=now, paired_by=by, revoked_at=now, revoked_by=by)
    db.add(made)
    db.flush()
    return made


def key_of(device: Device) -> Any:
    """Its public key. Raises NotFound (`device-unknown`) for a phone that only a file tells of."""
    if not device.key:
        raise unknown(device.id)
    return public_key(json.loads(device.key))
