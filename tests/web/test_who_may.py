"""Who may do what: every route, asked by everybody who might. A route that the table lacks fails the test.

What is asked is sound as far as that goes, and what it is about exists, so that a refusal is one of whoever asks.
"""

import re
from collections.abc import Iterator
from io import BytesIO
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine
from sqlmodel import select

from tests.cast import ADA, ILYA, NOOR, TOMAS, Someone, scan_badge
from tests.sync.phone import Phone
from webapp.storage.devices import make_code, pair
from webapp.storage.engine import writing
from webapp.storage.keys import as_jwk
from webapp.storage.tables import Item, Job

from .job import Begin

NOBODY = Someone("", "nobody", "nobody")
EVERYBODY = (NOBODY, ILYA, NOOR, ADA, TOMAS)
ALL = {one.role for one in EVERYBODY}
MAY = {
    "anybody": ALL,
    "badge": ALL - {"nobody"},
    "supervisor": {"supervisor", "manager"},
    "manager": {"manager"},
    "learner": {"apprentice", "supervisor"},  # an apprentice is led to the own progress, a supervisor to everybody's
    "own": {NOOR.role, "supervisor"},  # what is about somebody, asked for Noor
    "phone": set[str](),  # a paired phone signs what it asks; no badge stands for that
    "code": set[str](),  # whoever has a code that a supervisor made a moment ago
}
"""Whom each word of the table lets in."""

WHO: dict[str, tuple[str, ...]] = {
    "anybody": (
        "GET /",
        "GET /app.json",
        "GET /check/<int:number>-<digest>",
        "POST /equipment-check",
        "GET /favicon.ico",
        "GET /jobs/<job_id>",
        "POST /jobs/<job_id>",
        "GET /jobs/<job_id>/drop",
        "POST /jobs/<job_id>/drop",
        "GET /jobs/<job_id>/intake",
        "POST /jobs/<job_id>/intake",
        "GET /jobs/<job_id>/journal.jsonl",
        "GET /jobs/<job_id>/more",
        "GET /jobs/<job_id>/pause",
        "GET /jobs/<job_id>/plan",
        "POST /jobs/<job_id>/plan",
        "GET /jobs/<job_id>/record",
        "GET /jobs/<job_id>/record.json",
        "GET /jobs/<job_id>/<any(record, owner):paper>.pdf",
        "GET /jobs/<job_id>/owner",
        "POST /jobs/<job_id>/start",
        "GET /jobs/<job_id>/steps",
        "GET /jobs/<job_id>/steps/<path:name>",
        "GET /jobs/<job_id>/trouble",
        "GET /jobs/new",
        "POST /jobs/new",
        "GET /kit",
        "GET /kit/<code>",
        "GET /kit/new",
        "GET /labels",
        "GET /labels/labels.pdf",
        "POST /language",
        "GET /manifest.webmanifest",
        "GET /openapi.json",
        "GET /people",
        "GET /people/new",
        "GET /phone",
        "GET /phone/<any(android, ios):system>/<int:number>",
        "GET /phone/kept",
        "POST /phone/label",
        "GET /phone/pair",
        "GET /phone/root.crt",
        "GET /phone/root.mobileconfig",
        "POST /phone/vin",
        "GET /phone/token",
        "GET /phone/vouch",
        "GET /phone/who",
        "POST /phone/witness",
        "GET /phones",
        "GET /photos/<sha256>.jpg",
        "GET /record-key.json",
        "GET /specs",
        "GET /specs/<vehicle>",
        "GET /specs/<vehicle>.yaml",
        "GET /specs/<vehicle>/revisions/<int:number>",
        "GET /specs/new",
        "GET /static/<path:filename>",
        "GET /sw.js",
        "GET /times",
        "GET /times/<any(jobs, steps):what>.csv",
        "GET /times/<any(jobs, steps):what>.parquet",
        "GET /times/<calibration>",
        "GET /times/<calibration>/jobs",
        "GET /times/<calibration>/steps/<section>/<step>",
        "GET /times/kit",
        "GET /times/now",
        "GET /times/week",
        "GET /times/what-if",
        "GET /waiting",
        "GET /words/<code>.json",
    ),
    "badge": ("POST /kit/<code>/damaged",),
    "supervisor": (
        "POST /jobs/<job_id>/amendments",
        "POST /kit/<code>",
        "POST /kit/new",
        "GET /people/<code>",
        "GET /people/<code>/competence",
        "POST /people/<code>/competence",
        "POST /people/<code>",
        "POST /people/new",
        "POST /phone/codes",
        "GET /phones/<name>",
        "POST /phones/<name>/revoke",
        "GET /phones/arrivals",
        "GET /backups",
        "GET /outbox",
        "GET /releases",
        "POST /releases/ask",
        "GET /releases/<int:number>",
        "POST /releases/<int:number>/approve",
        "POST /releases/<int:number>/decline",
        "POST /outbox/now",
        "POST /phones/codes",
        "POST /specs/<vehicle>/approve",
        "POST /specs/<vehicle>/withdraw",
    ),
    "manager": (
        "GET /owners",
        "POST /owners",
        "POST /owners/data.zip",
        "POST /owners/erase",
        "POST /specs/<vehicle>/calibrations",
        "GET /specs/<vehicle>/parts/<part>",
        "POST /specs/<vehicle>/parts/<part>",
        "POST /specs/import",
        "POST /specs/new",
        "POST /sync/asides/<int:number>",
        "POST /sync/imports",
    ),
    "learner": ("GET /times/learning",),
    "own": ("GET /times/learning/<code>",),
    "phone": (
        "POST /sync/batches",
        "POST /sync/choices",
        "POST /sync/digests",
        "GET /sync/jobs",
        "GET /sync/jobs/<job_id>/events",
        "GET /sync/jobs/<job_id>/packet",
        "HEAD /sync/photos/<sha256>",
        "PATCH /sync/photos/<sha256>",
        "GET /sync/shelf",
        "POST /sync/sign-ins",
        "GET /sync/texts/<code>",
    ),
    "code": ("POST /sync/pair",),
}


GIVEN: dict[str, dict[str, Any]] = {
    "POST /kit/<code>/damaged": {"note": "Bent at the foot."},
    "POST /specs/<vehicle>/approve": {"revision": "1"},
    "POST /specs/<vehicle>/withdraw": {"reason": "Measured anew."},
    "POST /sync/asides/<int:number>": {"do": "leave-out", "reason": "Not ours."},
}
"""What a form needs to hold before it is asked who sends it."""


class Shop:
    """A shop in which there is one of everything that an address can name."""

    def __init__(self, client: FlaskClient, engine: Engine, job: str) -> None:
        self.client, self.job = client, job
        with writing(engine) as db:
            held = db.get_one(Job, job)
            self.vin = held.vin or "0RVWA4G2XK1000417"
        with writing(engine) as db:
            code = make_code(db, ADA.badge, "2026-03-02T08:00:00.000Z")
            key = as_jwk(Phone().key.public_key())
            self.phone = pair(db, code, key, "Phone", "2026-03-02T08:00:01.000Z").id
            self.thing = db.exec(select(Item)).first().code  # type: ignore[union-attr]
        scan_badge(client, TOMAS)
        answer = client.post("/specs/new", data={"copy": "orvane-wagon", "model": "Longtail"})
        self.vehicle = answer.headers["Location"].rpartition("/")[2]
        self.part = client.get(f"/specs/{self.vehicle}").text.partition("/parts/")[2].partition('"')[0]
        client.delete_cookie("session")

    def ask(self, method: str, rule: str, person: Someone) -> int:
        """The status of the answer to somebody who asks for that route."""
        name = f"{method} {rule}"
        given = dict(GIVEN.get(name, {}))
        if rule.startswith("/people") and method == "POST":
            given["your_pin"] = person.pin
        if rule.startswith("/specs/<vehicle>") and given:
            given["pin"] = person.pin
        if rule.startswith("/owners") and method == "POST":
            given |= {"vin": self.vin, "your_pin": person.pin, "reason": "Asked for."}
        if rule == "/sync/imports":
            given["journal"] = (BytesIO(b"{}"), "journal.jsonl")
        about: dict[str, Any] = {"data": given} if given else {}
        if rule == "/sync/pair":
            about = {"json": {"code": "AAAAAAAA", "key": as_jwk(Phone().key.public_key()), "name": "Phone"}}
        if method == "PATCH":
            about = {"headers": {"Upload-Offset": "0", "Upload-Length": "1"}, "data": b"x"}
        with self.client.open(self.address(rule), method=method, **about) as answer:
            return answer.status_code

    def address(self, rule: str) -> str:
        coded = {"/kit": self.thing, "/people": NOOR.badge, "/times/learning": NOOR.badge}
        known = {
            "job_id": self.job, "sha256": "0" * 64, "digest": "0" * 64, "number": "1", "what": "jobs", "paper": "owner",
            "system": "android", "vehicle": self.vehicle, "calibration": "forward-camera-static",
            "section": "vehicle-ready", "step": "walk-round", "part": self.part, "filename": "css/baybook.css",
            "name": "vehicle-ready/walk-round" if "/steps/" in rule else self.phone,
            "code": coded.get(rule.partition("/<")[0], "en"),
        }  # fmt: skip
        return re.sub(r"<(?:[^<>:]*:)?([a-z0-9_]+)>", lambda found: known[found[1]], rule)


def routes(app: Flask) -> Iterator[tuple[str, str]]:
    """Every (method, rule) that the application answers."""
    for rule in app.url_map.iter_rules():
        methods = (rule.methods or set()) - {"OPTIONS"}
        for method in sorted(methods - {"HEAD"} or methods):
            if rule.rule != "/badge":  # it makes somebody else of whoever asks: tests/web/test_today.py
                yield method, rule.rule


def test_the_table_names_every_route_once(app: Flask) -> None:
    listed = [name for names in WHO.values() for name in names]
    assert len(listed) == len(set(listed))
    assert {f"{method} {rule}" for method, rule in routes(app)} == set(listed)


@pytest.mark.parametrize("person", EVERYBODY, ids=lambda person: person.role)
def test_nobody_reaches_what_the_table_does_not_give_them(
    client: FlaskClient, app: Flask, demo_engine: Engine, at: Begin, person: Someone
) -> None:
    shop = Shop(client, demo_engine, at("/lamps-photo", NOOR).id)
    if person is not NOBODY:
        scan_badge(client, person)
    refused = {f"{method} {rule}" for method, rule in routes(app) if shop.ask(method, rule, person) in (401, 403)}
    assert refused == {name for word, names in WHO.items() if person.role not in MAY[word] for name in names}
