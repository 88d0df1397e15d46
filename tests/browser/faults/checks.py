"""What must hold when everything works again: nothing promised is missing, nothing is there twice, both sides agree."""

import hashlib
import json
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from sqlmodel import Session, select

from webapp.core.events import Event
from webapp.core.fold import fold
from webapp.storage import asides
from webapp.storage.arrivals import lines_of
from webapp.storage.attachments import photo_path
from webapp.storage.engine import engine, session
from webapp.storage.journal import events_of
from webapp.storage.phone_tables import Device, Difference

from ..alone import READ
from .hands import Hands
from .rounds import Bench

Places = dict[tuple[str, int], str]


def check(bench: Bench, sheets: Mapping[str, Any]) -> int:
    """Return how many events of the phones are on the server's disk."""
    made = engine(bench.server.database)
    with session(made) as db:
        apart = [(aside.message, aside.line) for aside, _device in asides.asides(db)]
        assert not apart, f"kept aside: {apart}"
        _decided_alike(db)
        ours = [_of_phone(db, bench, one, sheets) for one in bench.hands]
    made.dispose()
    return sum(ours)


def _decided_alike(db: Session) -> None:
    """These phones decide rightly, whatever they had heard of each other: the server comes out otherwise nowhere."""
    found = db.exec(select(Difference)).all()
    assert not found, f"decided otherwise by the server: {found}"


def _of_phone(db: Session, bench: Bench, one: Hands, sheets: Mapping[str, Any]) -> int:
    (me,) = one.page.evaluate(READ, ["device", None])
    held = one.page.evaluate(READ, ["events", None])
    shown = {state["job"]: state["state"] for state in one.page.evaluate(READ, ["states", None])}
    assert set(shown) == set(sheets), "the phone does not hold every job"
    theirs = [event for job in sheets for _, event in events_of(db, job)]
    for job, sheet in sheets.items():
        _same(db, job, sheet, [event for event in held if event["job"] == job], shown[job])
    mine = [event for event in theirs if event.device == me["id"]]
    assert sorted(event.seq for event in mine) == list(range(1, me["seq"] + 1)), "the journal has a gap"
    assert db.get_one(Device, me["id"]).highest == me["seq"]
    _promised(one, me["id"], theirs)
    for event in mine:
        if event.kind == "photographed":
            name = event.data["sha256"]
            photo = photo_path(bench.server.data / "photos", name).read_bytes()
            assert hashlib.sha256(photo).hexdigest() == name
    return len(mine)


def _same(db: Session, job: str, sheet: Mapping[str, Any], held: list[dict[str, Any]], shown: Any) -> None:
    """The job is to the byte the same on both sides, and so is what they make of it."""
    here = {(line.device, line.seq): line.line for line in lines_of(db, job)}
    there = {(event["device"], event["seq"]): event["line"] for event in held}
    apart = sorted(set(here.items()) ^ set(there.items()))
    assert not apart, f"job {job} is not the same on both sides: {apart}"
    assert digest(here) == digest(there)
    state = fold(sheet, [event for _, event in events_of(db, job)])
    assert state == fold(sheet, [Event.from_dict(json.loads(line)) for line in there.values()])
    assert shown == json.loads(json.dumps(asdict(state)))


def digest(places: Places) -> str:
    said = "".join(f"{device} {seq} {_sha256(line)}\n" for (device, seq), line in sorted(places.items()))
    return _sha256(said)


def _sha256(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _promised(one: Hands, device: str, theirs: Iterable[Event]) -> None:
    """Whatever lay on the phone when a tap's answer was shown is at the shop, and no tap is there twice.

    The same tap may have been answered twice: from a page that was drawn before it was known here.
    """
    known = {event.id: event for event in theirs}
    lost = {event: tap for event, tap in one.promised.items() if event not in known}
    assert not lost, f"promised, and not at the shop: {lost}"
    mine = Counter(
        (event.job, event.step, event.attempt, event.turn)
        for event in known.values()
        if event.device == device and event.kind not in ("paused", "resumed")
    )
    taps = {(tap.job, tap.step, tap.attempt, tap.turn) for tap in one.promised.values() if tap.do != "resume"}
    twice = {tap: mine[tap] for tap in taps if mine[tap] > 1}
    assert not twice, f"one tap, and so often there: {twice}"
