"""How long a person waits for a PIN: unlocking a phone, and countersigning a held step with badge and PIN.

A served shop, one phone after another, with argon2 at the cost that its library recommends; from the form's first byte
to the answer's last one, so that the page a finger waits for is in it.
"""

import json
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import date
from http.client import HTTPConnection
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any
from urllib.parse import urlencode, urlsplit

from webapp.config import Settings, settings
from webapp.core.events import Event, new_id
from webapp.core.freeze import make_sheet
from webapp.library.load import load
from webapp.messages import say
from webapp.storage import demo, jobs
from webapp.storage.engine import engine, writing
from webapp.storage.journal import append
from webapp.storage.migrate import upgrade
from webapp.storage.sheets import keep_sheet

from ..browser.shop import serving
from ..cast import ADA, NOOR
from .taps import DEVICE, _kept, _write_procedures

TIMES = 60
JOB = "job-held"


def run() -> dict[str, Any]:
    with _shop() as shop, serving(shop.data, shop.procedures) as address:
        parts = urlsplit(address)
        with closing(HTTPConnection(str(parts.hostname), int(parts.port or 0))) as phone:
            hand = Hand(phone)
            hand.send("/badge", {"badge": NOOR.label, "pin": NOOR.pin})
            unlocked = [hand.send("/badge", {"pin": NOOR.pin, "to": f"/jobs/{JOB}"})[0] for _ in range(TIMES)]
            signed = [_countersign(hand, number) for number in range(TIMES)]
    return {"unlock": _told(unlocked), "countersign": _told(signed)}


class Hand:
    """One browser: its cookies and the token of its forms."""

    def __init__(self, phone: HTTPConnection) -> None:
        self.phone = phone
        phone.request("GET", "/phone/token")
        answer = phone.getresponse()
        self.token, self.cookies = json.loads(answer.read())["token"], [_kept(answer)]

    def send(self, path: str, form: dict[str, str]) -> tuple[float, int]:
        """Seconds until the answer was there, and its status."""
        body = urlencode(form | {"token": self.token})
        about = {"Content-Type": "application/x-www-form-urlencoded", "Cookie": "; ".join(self.cookies)}
        began = perf_counter()
        self.phone.request("POST", path, body, about | ({"HX-Request": "true"} if path != "/badge" else {}))
        answer = self.phone.getresponse()
        answer.read()
        took_s = perf_counter() - began
        if cookie := _kept(answer):
            self.cookies = [self.cookies[0], cookie]
        if answer.status not in (200, 303):
            raise RuntimeError(f"{path} was refused: {answer.status}")
        return took_s, answer.status


def _countersign(hand: Hand, number: int) -> float:
    """A step is done and held; then how long its countersign takes."""
    about = {"step": f"round/step-{number}", "attempt": "1"}
    hand.send(f"/jobs/{JOB}", {"do": "confirm", **about, "turn": "0"})
    vouched = {"do": "countersign", **about, "turn": "1", "badge": ADA.label, "pin": ADA.pin}
    return hand.send(f"/jobs/{JOB}", vouched)[0]


def _told(seconds: list[float]) -> dict[str, Any]:
    return {
        "n": len(seconds),
        "p50_ms": round(1000 * median(seconds)),
        "p95_ms": round(1000 * quantiles(seconds, n=100)[94]),
        "most_ms": round(1000 * max(seconds)),
    }


@contextmanager
def _shop() -> Iterator[Settings]:
    """A fresh data folder with the demo's people and one job in which every step is held for everyone."""
    Path("build").mkdir(exist_ok=True)
    with TemporaryDirectory(dir="build", prefix="bench-") as held:  # /tmp may lie in memory; a shop's data does not
        folder = Path(held).resolve()
        _write_procedures(folder / "procedures")
        shop = settings({}, data=folder / "data", procedures=folder / "procedures")
        made = engine(shop.database_url)
        upgrade(made)
        library, at = load(shop.procedures), "2026-03-02T08:00:00.000Z"
        about = {"id": JOB, "sort": "day", "repair_order": "", "vin": "", "qualifiers": {}, "reasons": [], "bay": None}
        sheet = make_sheet(library, about, None, [], {}, say)
        sheet["steps"] = [one | {"hold": "everyone"} for one in sheet["steps"]]
        with writing(made) as db:
            demo.load(db, library.catalogue, date(2026, 3, 2))
            job = jobs.create_job(db, JOB, "day", at, phase="open", started_at=at)
            job.sheet = keep_sheet(db, sheet)
            db.add(job)
            db.flush()
            append(db, [Event(new_id(1), JOB, DEVICE, 1, "started", None, 1, 0, at, 0.0, "boot", NOOR.badge)])
        made.dispose()
        yield shop
