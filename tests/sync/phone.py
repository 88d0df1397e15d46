"""A phone as the server meets it: its own key, its own journal, the jobs it holds, and requests that can be lost."""

import hashlib
import json
from collections.abc import Callable
from dataclasses import asdict, dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from random import Random
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ec import ECDSA, SECP256R1, generate_private_key
from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from tests.cast import NOOR, Someone
from tests.sheets import KIT
from webapp.core import chain
from webapp.core.act import Draft, act
from webapp.core.errors import BaybookError
from webapp.core.events import Event, Place, new_id, next_round
from webapp.core.fold import apply, fold
from webapp.core.kinds import Moment
from webapp.core.kinds.common import Person
from webapp.core.labels import Label, LabelKind, label_text
from webapp.core.state import Clock, JobState
from webapp.storage.keys import as_jwk, encoded
from webapp.storage.moments import instant

Body = dict[str, Any]


@dataclass(frozen=True)
class Request:
    """A request on its way: it may arrive twice, late, in part, or never."""

    method: str
    path: str
    body: bytes
    headers: dict[str, str]

    def arrive(self, client: FlaskClient) -> TestResponse:
        return client.open(self.path, method=self.method, data=self.body, headers=self.headers)


@dataclass
class Held:
    """A job on the phone: its sheet, and what others did, as far as the phone has heard of it."""

    sheet: dict[str, Any]
    sheet_hash: str
    others: dict[tuple[str, int], str] = field(default_factory=dict)
    last: int = 0
    reached: "Reached | None" = None


@dataclass(frozen=True)
class Reached:
    """How far a job has come on the phone, with `own` and `others` lines known: working on, it need not fold anew."""

    own: int
    others: int
    state: JobState
    place: Place | None


@dataclass
class Phone:
    """What is in `lines` is on the phone's disk; nothing else is needed to go on after it was switched off."""

    name: str = "Noor's phone"
    person: Someone = NOOR
    dice: Random = field(default_factory=lambda: Random(1))
    device: str = ""
    ahead_s: float = 0.0
    chains: bool = True
    acknowledged: int = 0
    lines: dict[int, str] = field(default_factory=dict)
    jobs: dict[str, Held] = field(default_factory=dict)
    kit: dict[str, Any] = field(default_factory=lambda: dict(KIT))
    boot: str = "phone-boot-1"
    mono_s: float = 100.0

    def __post_init__(self) -> None:
        self.key = generate_private_key(SECP256R1())

    # --- requests

    def request(self, method: str, path: str, body: bytes | Body = b"", **headers: str) -> Request:
        data = body if isinstance(body, bytes) else json.dumps(body, ensure_ascii=False).encode()
        at = instant(datetime.now(UTC) + timedelta(seconds=self.ahead_s))
        said = "\n".join((method, path, at, hashlib.sha256(data).hexdigest())).encode()
        r, s = decode_dss_signature(self.key.sign(said, ECDSA(SHA256())))
        signature = encoded(r.to_bytes(32) + s.to_bytes(32))
        sent = {"Authorization": f"Baybook device={self.device}, at={at}, signature={signature}"}
        sent |= {"Content-Type": "application/json"} | {
            name.replace("_", "-"): value for name, value in headers.items()
        }
        return Request(method, path, data, sent)

    def batch(self, seqs: list[int] | None = None, **more: Any) -> Request:
        """The events that are not acknowledged, or those of these seqs."""
        wanted = sorted(seq for seq in self.lines if seq > self.acknowledged) if seqs is None else seqs
        body = {"events": [self.lines[seq] for seq in wanted[:500]], "mono_s": self.mono_s, **more}
        return self.request("POST", "/sync/batches", body)

    def heard(self, answer: TestResponse) -> Body:
        """Take an answer to a batch. A lower highest than before means: the server was put back; send again."""
        said: Body = answer.get_json()
        if answer.status_code == 200:
            self.acknowledged = said["highest"]
        return said

    def send(self, client: FlaskClient, **more: Any) -> Body:
        answer = self.batch(**more).arrive(client)
        assert answer.status_code == 200, answer.text
        return self.heard(answer)

    def ask(self, client: FlaskClient, path: str) -> Body:
        answer = self.request("GET", path).arrive(client)
        assert answer.status_code == 200, answer.text
        said: Body = answer.get_json()
        return said

    def pair(self, client: FlaskClient, code: str) -> None:
        key = as_jwk(self.key.public_key())
        body = {"code": code, "key": key, "name": self.name} | ({"device": self.device} if self.device else {})
        answer = client.post("/sync/pair", json=body)
        assert answer.status_code == 200, answer.text
        self.device = answer.get_json()["device"]

    def fetch(self, client: FlaskClient, job: str) -> None:
        """Take a job's packet along."""
        said = self.ask(client, f"/sync/jobs/{job}/packet")
        assert hashlib.sha256(said["body"].encode()).hexdigest() == said["sheet"]
        self.kit = said["kit"]
        self.jobs[job] = Held(json.loads(said["body"]), said["sheet"])
        self.hear(job, said["events"])

    def pull(self, client: FlaskClient, job: str) -> Body:
        """Hear what others did on a job; return what the server says of it."""
        said = self.ask(client, f"/sync/jobs/{job}/events?after={self.jobs[job].last}")
        self.hear(job, said["events"])
        return said

    def hear(self, job: str, events: list[Body]) -> None:
        """Write down what others did, and how far that goes."""
        for one in events:
            entry = json.loads(one["line"])
            assert hashlib.sha256(one["line"].encode()).hexdigest() == one["sha256"]
            if entry["device"] != self.device:
                self.jobs[job].others[(entry["device"], entry["seq"])] = one["line"]
            self.jobs[job].last = max(self.jobs[job].last, one["server_seq"])

    # --- what the phone holds

    def events(self, job: str) -> list[Event]:
        own, others = map(says, self.lines.values()), map(says, self.jobs[job].others.values())
        return sorted([*(one for one in own if one.job == job), *others], key=lambda one: one.place)

    def state(self, job: str) -> JobState:
        return fold(self.jobs[job].sheet, self.events(job))

    def reached(self, job: str) -> Reached:
        """The same as `state`, and the last event's place: worked out from where it was when it was asked last."""
        held = self.jobs[job]
        known = held.reached
        if known is None or known.others != len(held.others) or len(self.lines) < known.own:
            events = self.events(job)
            place = events[-1].place if events else None
            known = Reached(len(self.lines), len(held.others), fold(held.sheet, events), place)
        for line in list(self.lines.values())[known.own :]:
            event = says(line)
            if event.job == job:
                known = replace(known, state=apply(held.sheet, known.state, event), place=event.place)
        held.reached = known = replace(known, own=len(self.lines))
        return known

    def digest(self, job: str) -> str:
        own = {(self.device, seq): line for seq, line in self.lines.items() if says(line).job == job}
        every = sorted((own | self.jobs[job].others).items())
        said = "".join(f"{device} {seq} {hashlib.sha256(line.encode()).hexdigest()}\n" for (device, seq), line in every)
        return hashlib.sha256(said.encode()).hexdigest()

    # --- work

    def clock(self) -> Clock:
        return Clock(instant(datetime.now(UTC) + timedelta(seconds=self.ahead_s)), round(self.mono_s, 3), self.boot)

    def moment(self) -> Moment:
        clock = self.clock()
        today = datetime.fromisoformat(clock.at).astimezone().date().isoformat()
        return Moment(clock, today, self.kit, Person(self.person.badge, self.person.role, self.person.name))

    def keep(self, job: str, draft: Draft, **changed: Any) -> Event:
        """An event of this draft, on the phone's disk."""
        self.mono_s += 10
        clock, last = self.clock(), self.reached(job).place
        seq = max(self.lines, default=0) + 1
        event = Event(
            id=new_id(seq),
            job=job,
            device=self.device,
            seq=seq,
            kind=draft.kind,
            step=draft.step,
            attempt=draft.attempt,
            turn=draft.turn,
            at=clock.at,
            mono_s=clock.mono_s,
            boot=clock.boot,
            person=self.person.badge,
            data=draft.data,
            round=next_round(last, self.device),
            before=chain.digest(self.lines[seq - 1]) if self.chains and seq - 1 in self.lines else None,
        )
        said = asdict(event) | changed
        self.lines[seq] = written({name: value for name, value in said.items() if (name, value) != ("before", None)})
        return event

    def tap(self, job: str, **given: str) -> bool:
        """Tap on the page of the step at hand; whether the phone took it."""
        state = self.reached(job).state
        name = given.pop("step", state.current or "")
        was = state.step(name)
        form = {"step": name, "attempt": str(was.attempt), "turn": str(was.turn), **given}
        try:
            draft = act(self.jobs[job].sheet, state, form, self.moment())
        except BaybookError:
            return False
        self.keep(job, draft)
        return True

    def work(self, job: str) -> bool:
        """Do what the step at hand asks for, or now and then something else; whether anything was done."""
        state, sheet = self.reached(job).state, self.jobs[job].sheet
        if state.phase != "open":
            return False
        step = next((one for one in sheet["steps"] if one["id"] == state.current), None)
        done = [name for name, was in state.steps.items() if was.status in ("done", "left-undone")]
        if self.dice.random() < 0.15 and done:
            return self.tap(job, do="undo", step=self.dice.choice(sorted(done)), reason="Ticked too early.")
        if self.dice.random() < 0.1:
            return self.tap(job, do="note", text=f"Noted: {self.dice.random()}")
        if state.paused:
            return self.tap(job, do="resume")
        return self.tap(job, **(_FORMS[step["kind"]](self.dice) if step else {"do": "finish"}))


@lru_cache(maxsize=4096)
def says(line: str) -> Event:
    """What an event's text says."""
    return Event.from_dict(json.loads(line))


def written(entry: dict[str, Any]) -> str:
    """An event's text as this phone writes it."""
    return json.dumps(entry, ensure_ascii=False, separators=(",", ":"))


def _label(kind: LabelKind, code: str) -> str:
    return label_text(Label(kind, code))


LABELS = (_label("target", "L1"), _label("spot", "SL"), _label("target", "R1"), _label("spot", "SR"))

_FORMS: dict[str, Callable[[Random], dict[str, str]]] = {
    "confirm": lambda dice: {"do": "confirm"},
    "choose": lambda dice: {"do": "choose", "option": dice.choice(("tape", "tape", "laser", "none"))},
    "scan": lambda dice: (
        {"do": "leave-undone", "reason": "No label."}
        if dice.random() < 0.1
        else {"do": "scan", "text": dice.choice(LABELS), "via": "wedge"}
    ),
    "measure": lambda dice: {"do": "measure", "tyre": dice.choice(("240", "228", "231,5", "249"))},
    "photo": lambda dice: {"do": "photo", "sha256": f"{dice.getrandbits(256):064x}"},
    "wait": lambda dice: {"do": "leave-undone", "reason": "In a hurry."},
    "result": lambda dice: dice.choice(
        ({"do": "result", "outcome": "done"}, {"do": "result", "outcome": "failed", "text": "No"})
    ),
    "countersign": lambda dice: {"do": "leave-undone", "reason": "Nobody there."},
}
