"""In the other engines, too: a job goes on with the network cut, comes home when it heals, and both sides agree."""

import json
from urllib.request import urlopen

from webapp.core.events import Event
from webapp.core.fold import fold

from ..browser.wire import Wire
from .technician import Technician

KINDS = {"started", "chosen", "confirmed", "measured", "scanned", "photographed", "countersigned", "waited"}


def at_server(server: str, job: str) -> list[Event]:
    """The job's events as the shop has them, asked past the network that is cut."""
    with urlopen(f"{server}/jobs/{job}/journal.jsonl") as answer:
        return [Event.from_dict(json.loads(line)) for line in answer.read().decode().splitlines()[1:]]


def test_a_job_is_worked_alone_and_brought_home(technician: Technician, network: Wire, server: str) -> None:
    technician.pair()
    technician.take_in()
    job, before = technician.job, len(at_server(server, technician.job))

    network.cut()
    technician.work(until="/hang-boards")
    step = technician.at()
    technician.goto(f"/jobs/{job}")
    assert technician.at() == step
    sheet, mine = technician.journal()
    assert {one.kind for one in mine} >= KINDS
    assert len(at_server(server, job)) == before

    network.heal()
    technician.goto(f"/jobs/{job}")
    technician.find("[data-truth=agree]")
    theirs = at_server(server, job)
    assert sorted(theirs, key=lambda one: one.id) == sorted(mine, key=lambda one: one.id)
    assert fold(sheet, theirs) == technician.state()
    (photo,) = [one.data["sha256"] for one in mine if one.kind == "photographed"]
    with urlopen(f"{server}/photos/{photo}.jpg") as answer:
        assert answer.status == 200
