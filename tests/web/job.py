"""A job of the demo shop: brought to some step by make-believe hands, then worked through the pages."""

import json
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

from flask.testing import FlaskClient
from sqlalchemy.engine import Engine
from sqlmodel import Session
from werkzeug.test import TestResponse

from tests.cast import ADA, NOOR, Someone
from webapp.core.events import Event, new_id
from webapp.core.fold import fold, step_of
from webapp.core.freeze import make_sheet
from webapp.core.kinds.common import Person
from webapp.core.plan import propose
from webapp.core.procedure import Library
from webapp.core.state import JobState
from webapp.messages import say
from webapp.storage import attachments, kit, times
from webapp.storage.engine import session, writing
from webapp.storage.jobs import create_job, job_of
from webapp.storage.journal import append, events_of, next_seq
from webapp.storage.rehearsal import Cards, Cast, Technician
from webapp.storage.rehearsal.labels import next_label
from webapp.storage.rehearsal.mishaps import Mishaps
from webapp.storage.sheets import keep_sheet, read_sheet
from webapp.web.moment import unix_ms

from .markup import Page

VIN = "0RVWA4G2XK1000417"
DEVICE = "rehearsal"
BOTH = ("windscreen-replaced", "radar-replaced")


class Arrived(Exception):
    """The step that the test wants is at hand."""


class Plain(Technician):
    """Hands that give the usual answer, or the one that the test asks for, and stop at a step."""

    answers: Mapping[str, str] = {}
    until: str | None = None

    def _do(self, step: dict[str, Any]) -> None:
        if self.until is not None and step["id"].endswith(self.until):
            raise Arrived
        super()._do(step)

    def _form(self, step: dict[str, Any], was: Any) -> dict[str, str]:
        if step["kind"] == "choose":
            free = next(one["value"] for one in step["options"] if not one["blocks"])
            return {"do": "choose", "option": self.answers.get(step["asks"], free)}
        return super()._form(step, was)


@dataclass
class AtJob:
    """A phone on the pages of one job."""

    client: FlaskClient
    engine: Engine
    id: str

    @property
    def url(self) -> str:
        return f"/jobs/{self.id}"

    @property
    def sheet(self) -> dict[str, Any]:
        with session(self.engine) as db:
            return read_sheet(db, job_of(db, self.id).sheet or "")

    def events(self) -> list[Event]:
        with session(self.engine) as db:
            return [event for _seq, event in events_of(db, self.id)]

    @property
    def state(self) -> JobState:
        """Folded anew from the journal, so that no memory of the server's can hide a loss."""
        return fold(self.sheet, self.events())

    @property
    def step(self) -> dict[str, Any]:
        """The step at hand."""
        found = step_of(self.sheet, self.state.current or "")
        assert found is not None
        return found

    def page(self, path: str = "") -> Page:
        answer = self.client.get(self.url + path)
        assert answer.status_code == 200, answer.text
        return Page(answer.text)

    def form(self, do: str, **given: str) -> dict[str, Any]:
        """What the page of the step at hand would send."""
        state = self.state
        name = state.current or ""
        was = state.step(name)
        return {"do": do, "step": name, "attempt": str(was.attempt), "turn": str(was.turn), **given}

    def send(self, form: Mapping[str, Any], **headers: str) -> TestResponse:
        return self.client.post(self.url, data=dict(form), headers={k.replace("_", "-"): v for k, v in headers.items()})

    def tap(self, do: str, **given: str) -> None:
        """A tap that is taken; the plain form is sent on to the next page."""
        answer = self.send(self.form(do, **given))
        assert (answer.status_code, answer.headers.get("Location")) == (303, self.url), answer.text

    def refused(self, do: str, status: int = 400, **given: str) -> Page:
        """A tap that is refused, and adds nothing to the journal: the page that says so."""
        before = self.events()
        answer = self.send(self.form(do, **given))
        assert answer.status_code == status, answer.text
        assert self.events() == before
        return Page(answer.text)

    def happened(self, kind: str, ago_s: float, **data: Any) -> None:
        """Something that happened at the step at hand so long ago, on another phone."""
        form = self.form("")
        at = datetime.now(UTC) - timedelta(seconds=ago_s)
        with writing(self.engine) as db:
            event = Event(
                id=new_id(unix_ms()),
                job=self.id,
                device=DEVICE,
                seq=next_seq(db, DEVICE),
                kind=kind,
                step=form["step"],
                attempt=int(form["attempt"]),
                turn=int(form["turn"]),
                at=at.isoformat(timespec="milliseconds")[:-6] + "Z",
                mono_s=1.0,
                boot="another phone",
                person=None,
                data=data,
            )
            append(db, [event])

    def label(self, today: str = "") -> str:
        """The label that the step at hand wants next."""
        with session(self.engine) as db:
            held = kit.kit(db)
        return next_label(self.step["pairs"], self.state.step(self.step["id"]), held, today, None, wrong=False)


Begin = Callable[..., AtJob]


def begin(
    client: FlaskClient,
    engine: Engine,
    library: Library,
    photos: Any,
    until: str | None = None,
    *,
    person: Someone = NOOR,
    sort: str = "calibration",
    reasons: tuple[str, ...] = BOTH,
    answers: Mapping[str, str] | None = None,
    mishaps: Mishaps | None = None,
    ago: timedelta = timedelta(),
    seed: int = 1,
    pace: float = 0.3,
) -> AtJob:
    """A job on the Orvane Wagon, worked by `person` up to the step whose id ends in `until`, or to its end.

    The last tap was just now, or so long ago. What was done is in the journal like anything done on the pages.
    """
    sheet = _sheet(library, sort, reasons)
    with writing(engine) as db:
        cards = Cards(photos)
        cast = Cast(_core(person), _core(ADA), kit.kit(db), cards.name)
        # A check is done in no time, so that it was begun on the day on which it ended.
        hands = Plain(
            sheet, cast, mishaps or Mishaps(), datetime.now(UTC), pace if sort == "calibration" else 0.001, Random(seed)
        )
        hands.answers, hands.until = answers or {}, until
        with suppress(Arrived):
            hands.work()
        assert (hands.state.current is None) == (until is None), hands.state.current
        events = _moved(hands.events(DEVICE, next_seq(db, DEVICE)), ago)
        _keep(db, sheet, fold(sheet, events), events, cards)
    return AtJob(client, engine, sheet["job"]["id"])


def _moved(events: list[Event], ago: timedelta) -> list[Event]:
    """The same events, the last of them so long ago."""
    shift = datetime.now(UTC) - ago - datetime.fromisoformat(events[-1].at)
    return [
        replace(event, at=(datetime.fromisoformat(event.at) + shift).isoformat(timespec="milliseconds")[:-6] + "Z")
        for event in events
    ]


def _keep(db: Session, sheet: dict[str, Any], state: JobState, events: list[Event], cards: Cards) -> None:
    about = sheet["job"]
    job = create_job(
        db,
        about["id"],
        about["sort"],
        events[0].at,
        phase=state.phase,
        vehicle=sheet["vehicle"]["id"] if sheet["vehicle"] else None,
        sheet=keep_sheet(db, sheet),
        started_at=state.started_at,
        finished_at=state.ended_at,
        **{name: about[name] for name in ("repair_order", "vin", "odometer_km", "reasons", "qualifiers", "bay")},
    )
    append(db, events)
    for event in events:
        if event.kind == "photographed":
            attachments.attach(db, cards.photo(event), event)
    if state.phase == "finished":
        times.write_times(db, job, sheet, state)


def _sheet(library: Library, sort: str, reasons: tuple[str, ...]) -> dict[str, Any]:
    about: dict[str, Any] = {"id": new_id(unix_ms()), "sort": sort, "bay": None}
    if sort == "day":
        about |= {"repair_order": "", "vin": "", "odometer_km": None, "reasons": [], "qualifiers": {}}
    else:
        vehicle = library.vehicles["orvane-wagon"]
        about |= {"repair_order": "RO 20417", "vin": VIN, "odometer_km": 48210, "reasons": list(reasons)}
        about["qualifiers"] = {one.name: one.options[0].value for one in vehicle.qualifiers}
    if (sort, reasons, library.unit) not in _made:
        vehicles = library.vehicles["orvane-wagon"] if sort == "calibration" else None
        plan = propose(library, vehicles, reasons) if vehicles else []
        _made[(sort, reasons, library.unit)] = make_sheet(library, about, vehicles, plan, {}, say)
    return _made[(sort, reasons, library.unit)] | {"job": about}


# Drawing a sheet takes longer than working it; what differs from job to job is who it is for.
_made: dict[tuple[str, tuple[str, ...], str], dict[str, Any]] = {}


def _core(person: Someone) -> Person:
    return Person(person.badge, person.role, person.name)


def journal_of(client: FlaskClient, job: str) -> tuple[dict[str, Any], list[Event]]:
    """The sheet and the events in the file that the record page offers."""
    lines = client.get(f"/jobs/{job}/journal.jsonl").text.splitlines()
    return json.loads(lines[0])["sheet"], [Event.from_dict(json.loads(line)) for line in lines[1:]]
