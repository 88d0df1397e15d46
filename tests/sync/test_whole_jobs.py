"""Whole jobs on real sheets, done alone by make-believe hands with their mishaps: the server decides all of it so."""

import json
from dataclasses import asdict, replace
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

import pytest

from tests.cast import ADA, ILYA, NOOR, Someone
from tests.sync.conftest import Exchange
from tests.sync.phone import Held, written
from webapp.core.events import new_id
from webapp.core.freeze import make_sheet
from webapp.core.kinds.common import Person
from webapp.core.plan import propose
from webapp.core.procedure import REASONS, Library
from webapp.core.sheet import content_hash
from webapp.messages import say
from webapp.storage import kit
from webapp.storage.differences import differences_of
from webapp.storage.engine import session
from webapp.storage.jobs import job_of
from webapp.storage.rehearsal import Cast, Technician, mishaps_of
from webapp.storage.times import Asked, times_of


def core(person: Someone) -> Person:
    return Person(person.badge, person.role, person.name)


@pytest.mark.parametrize("person", [NOOR, ILYA])
@pytest.mark.parametrize("vehicle", ["orvane-wagon", "selmora-hatch", "tavisk-carrier"])
def test_a_whole_job_done_alone_comes_home_without_a_difference(
    at: Exchange, library: Library, vehicle: str, person: Someone
) -> None:
    dice, model = Random(f"{vehicle} {person.name}"), library.vehicles[vehicle]
    job: dict[str, Any] = {"id": new_id(5), "sort": "calibration", "repair_order": "RO 7", "vin": "", "bay": None}
    qualifiers = {one.name: one.options[0].value for one in model.qualifiers}
    job |= {"odometer_km": 10, "reasons": list(REASONS), "qualifiers": qualifiers, "lamps": "", "codes": ""}
    sheet = make_sheet(library, job, model, propose(library, model, REASONS), {}, say)
    with session(at.engine) as db:
        cast = Cast(core(person), core(ADA), kit.kit(db), lambda words: f"{len(words):064x}")
    begin = datetime.now(UTC) - timedelta(minutes=30)
    hands = Technician(sheet, cast, mishaps_of(sheet, 3, dice), begin, 0.001, dice)
    hands.work()

    phone = at.phone(person=person)
    phone.jobs[job["id"]] = Held(sheet, content_hash(sheet))
    phone.lines = {event.seq: written(asdict(event)) for event in hands.events(phone.device, 1)}
    facts = {"job": job, "vehicle": vehicle, "added": {}, "struck": {}, "sheet": content_hash(sheet)}
    said = phone.send(at.client, jobs=[json.dumps(facts | {"at": hands.events("d", 1)[0].at})])

    assert {one["status"] for one in said["answers"]} == {"kept"}
    with session(at.engine) as db:
        told = differences_of(db, job["id"])
        assert {one.what for one in told} <= {"pin"}, told  # these hands seal no PIN
        assert job_of(db, job["id"]).phase == "finished"
        assert {one.job for one in times_of(db, Asked())} == {job["id"]}
    alone = replace(hands.state, device=phone.device)  # these hands knew no device's name yet
    assert at.state(job["id"]) == at.remembered(job["id"]) == alone
    assert said["digests"][job["id"]]["digest"] == phone.digest(job["id"])
    assert at.client.get(f"/jobs/{job['id']}/record").status_code == 200
