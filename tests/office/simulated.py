"""Shops that are held in memory, so that many of them cost little: each with a key, a log and journals of its own.

Their jobs are those of one real job, told anew under other names: lines, chain, sheet, digests, tree and signatures are
made as a shop makes them. What is sent is made when it is sent, and again when it is sent again.
"""

import gzip
import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from random import Random
from typing import Any, Self
from uuid import UUID

from cryptography.hazmat.primitives.asymmetric.ec import SECP256R1, EllipticCurvePrivateKey, generate_private_key
from pydantic_core import to_json

from webapp.core import merkle
from webapp.core.bundle import BUNDLE, VERSION, cosigned_text
from webapp.core.chain import digest
from webapp.core.errors import Conflict, Unavailable
from webapp.core.evidence import Entry, Head, journal_digest
from webapp.storage.keys import as_jwk, decoded, encoded, public_key, sign, signed
from webapp.sync import moment
from webapp.sync.forward import BEHIND, Answer, Exchange, Sent
from webapp.sync.signed import JOIN, under


@dataclass(frozen=True)
class Pattern:
    """A real job, as a bundle's entry brings it, without photos: those that have them are told of by other tests."""

    job: str
    body: Mapping[str, Any]
    events: tuple[Mapping[str, Any], ...]

    @classmethod
    def of(cls, bundle: Mapping[str, Any]) -> Self:
        """The shortest job of a bundle."""
        sent = min(bundle["entries"], key=lambda one: len(one["body"]["lines"]))
        events = map(json.loads, sent["body"]["lines"])
        job = json.loads(sent["entry"])["job"]
        return cls(job, sent["body"], tuple(one for one in events if one["kind"] != "photographed"))

    def told(self, name: str, number: int) -> dict[str, Any]:
        """The body of the job of that name, done on a phone of its own in one of five months, ten jobs after ten."""
        sheet = self.body["sheet"].replace(self.job, name)
        lines: list[str] = []
        for seq, event in enumerate(self.events, 1):
            said = event | {"job": name, "device": f"phone-{name[:13]}", "seq": seq}
            if event["kind"] == "started":
                said["data"] = event["data"] | {"sheet": hashlib.sha256(sheet.encode()).hexdigest()}
            if lines:
                said["before"] = digest(lines[-1])
            lines.append(to_json(said).decode())
        ended_at = f"2026-{1 + number // 10 % 5:02}-17T16:20:22.246Z"
        return {**self.body, "ended_at": ended_at, "sheet": sheet, "lines": lines, "amendments": []}


@dataclass
class Simulated:
    """A shop. `size` and `head_size` are how far it knows head office to have come."""

    pattern: Pattern
    dice: Random
    key: EllipticCurvePrivateKey = field(default_factory=lambda: generate_private_key(SECP256R1()))
    jobs: list[str] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)
    nodes: dict[tuple[int, int], bytes] = field(default_factory=dict)
    called: str = ""
    office_key: Any = None
    size: int = 0
    head_size: int = 0
    is_unsure: bool = False
    at_once: int = 0
    """So many entries a bundle; 0 is as the dice fall."""

    def work(self, jobs: int) -> None:
        """Finish so many jobs."""
        for _ in range(jobs):
            name, number = str(UUID(int=self.dice.getrandbits(128))), len(self.texts)
            body = self.pattern.told(name, number)
            places = ((f"phone-{name[:13]}", seq, digest(line)) for seq, line in enumerate(body["lines"], 1))
            sheet = hashlib.sha256(body["sheet"].encode()).hexdigest()
            entry = Entry("finished", name, sheet, journal_digest(places), len(body["lines"]), body["ended_at"])
            self.jobs.append(name)
            self.texts.append(entry.text())
            for level, place, found in merkle.grown(number, merkle.leaf_hash(entry.text().encode()), self._node):
                self.nodes[level, place] = found

    def join(self, exchange: Exchange, code: str) -> None:
        proof = encoded(sign(self.key, f"{JOIN}\n{code}".encode()))
        body = json.dumps({"code": code, "key": as_jwk(self.key.public_key()), "signature": proof}).encode()
        said = json.loads(exchange("POST", "/office/join", {"Content-Type": "application/json"}, body).body)
        self.called, self.office_key = said["shop"], public_key(said["key"])

    def name(self) -> str:
        return self.called

    def entries(self) -> list[str]:
        return self.texts

    def arrived(self) -> int:
        return self.size

    def note(self, size: int, head_size: int) -> None:
        """Head office has answered for so much."""
        self.size, self.head_size = size, head_size

    def turn(self, exchange: Exchange) -> Sent:
        """Send some of what waits, as `forward.turn` does. Raises what it raises."""
        try:
            if self.is_unsure:
                said = self._ask(exchange, "GET", "/office/standing")
                self.size, self.head_size, self.is_unsure = said["size"], said["head_size"], False
            else:
                self._send(exchange)
        except OSError as error:
            self.is_unsure = True
            raise Unavailable("office-away", "", str(error)) from error
        except (Conflict, Unavailable) as error:
            self.is_unsure = True
            if error.code not in BEHIND:
                raise
        return Sent(0, 0, self.is_unsure or self.size < len(self.texts))

    def _send(self, exchange: Exchange) -> None:
        body = gzip.compress(to_json(self.bundle()), 1)
        said = self._ask(exchange, "POST", "/office/bundles", body)
        seen = said["cosigned"]
        text = cosigned_text(self.called, Head(seen["size"], seen["root"], ""), seen["at"])
        assert signed(self.office_key, decoded(seen["signature"], "signature", 64), text.encode())
        assert [one for one in said["answers"] if one["status"] == "aside"] == []
        self.note(said["size"], seen["size"])

    def bundle(self) -> dict[str, Any]:
        """The next entries, as `outbox.bundle` makes them: a few, and more where there are many."""
        head = Head(len(self.texts), merkle.root(len(self.texts), self._node).hex(), moment.now())
        most = self.at_once or self.dice.randint(1, 2 + len(self.texts) // 50)
        until = min(len(self.texts), self.size + most)
        return {
            BUNDLE: VERSION,
            "version": "0.1.0",
            "since": self.head_size,
            "head": head.__dict__ | {"signature": encoded(sign(self.key, head.text().encode()))},
            "consistency": _hex(merkle.consistency(self.head_size, head.size, self._node)),
            "entries": [
                {
                    "number": number,
                    "entry": self.texts[number],
                    "path": _hex(merkle.inclusion(number, head.size, self._node)),
                    "body": self.pattern.told(self.jobs[number], number),
                }
                for number in range(self.size, until)
            ],
        }

    def _node(self, level: int, number: int) -> bytes:
        return self.nodes[level, number]

    def _ask(self, exchange: Exchange, method: str, path: str, body: bytes = b"") -> dict[str, Any]:
        at = moment.now()
        signature = encoded(sign(self.key, under(method, path, at, body)))
        headers = {"Authorization": f"Baybook shop={self.called}, at={at}, signature={signature}"}
        packed = {"Content-Type": "application/json", "Content-Encoding": "gzip"} if body else {}
        return _said(exchange(method, path, headers | packed, body))


def _said(answer: Answer) -> dict[str, Any]:
    said: dict[str, Any] = json.loads(answer.body)
    if answer.status == 200:
        return said
    kinds = {409: Conflict, 503: Unavailable}
    assert answer.status in kinds, said
    error = said["error"]
    raise kinds[answer.status](error["code"], error["field"], error["message"])


def _hex(hashes: list[bytes]) -> list[str]:
    return [one.hex() for one in hashes]
