"""One job while a batch is taken: what lies before each arriving event, and what becomes of the job in the end."""

from collections import deque
from dataclasses import dataclass, replace
from functools import partial

from sqlmodel import Session

from webapp.core.check import Difference
from webapp.core.errors import BadInput
from webapp.core.events import Event, Place
from webapp.core.fold import apply, fold
from webapp.core.knowledge import knew_all
from webapp.core.state import JobState
from webapp.storage import asides, differences, log, times
from webapp.storage.arrivals import newest
from webapp.storage.jobs import job_of
from webapp.storage.journal import events_of
from webapp.storage.pieces import expect
from webapp.storage.progress import Progress, progress_of
from webapp.sync.judge import Shop, judge


@dataclass(frozen=True)
class Judged:
    """What an event made of the state that lay before it. It holds for these very two, and for nothing else."""

    event: Event
    before: JobState
    after: JobState
    found: list[Difference]


class Book:
    """Events must be taken in their device's order. Raises as `progress_of` does where the job is not there.

    `judged` are judgements by event id that were made before, for this same shop; new ones are added.
    """

    def __init__(self, db: Session, job: str, device: str, judged: dict[str, Judged]) -> None:
        self.db, self.job, self.device, self.judged = db, job, device, judged
        self.at: Progress = progress_of(db, job)
        self.state, self.last = self.at.state, self.at.last
        self.own: Place | None = None
        self.ahead: deque[Event] = deque()
        self.taken: list[Event] = []
        self.found: list[tuple[Event, Difference]] = []

    def take(self, event: Event, shop: Shop) -> None:
        """Judge the event and let it in. Raises BadInput and changes nothing where it cannot be let in."""
        self._go_to(event.place, shop)
        known = self._judge(event, shop)
        self.state, self.own = known.after, event.place
        self.last = max(self.last or event.place, event.place)
        self.taken.append(event)
        self.found += [(event, one) for one in (*self._other_sheet(event), *known.found)]

    def _judge(self, event: Event, shop: Shop) -> Judged:
        known = self.judged.get(event.id)
        if known is None or known.event is not event or known.before is not self.state:
            knew_all = partial(self._knew_all, event, shop)
            judged = judge(self.at.sheet, self.at.sheet_hash, self.state, event, shop, knew_all)
            known = Judged(event, self.state, *judged)
            self.judged[event.id] = known
        return known

    def _knew_all(self, event: Event, shop: Shop) -> bool:
        """Whether the event's maker surely knew what lies before it here, and nothing that was set aside besides."""
        if shop.lenient or asides.has_any(self.db, self.device, self.job):
            return False
        known = {one.id: one for _, one in events_of(self.db, self.job)} | {one.id: one for one in self.taken}
        return knew_all([one for one in known.values() if one.place < event.place], event)

    def _go_to(self, place: Place, shop: Shop) -> None:
        """Make `state` the one just before that place."""
        if self.own is None and self.at.last and place < self.at.last:
            self._begin_anew()  # another device got further in the meantime
            if shop.lenient:
                self.own = None  # a person brings in what was missing in the middle
        if self.own and place <= self.own:
            message = f"round={place[0]} goes behind what device '{self.device}' did before on this job"
            raise BadInput("round-went-back", "round", message)
        while self.ahead and self.ahead[0].place < place:
            self.state = apply(self.at.sheet, self.state, self.ahead.popleft())

    def _other_sheet(self, event: Event) -> list[Difference]:
        """What was said when a phone's own sheet was taken for the job (see `sync.offline`)."""
        plan = job_of(self.db, self.job).plan if event.kind == "started" else {}
        return [Difference("sheet-made", self.at.sheet_hash, plan["made_here"])] if "made_here" in plan else []

    def _begin_anew(self) -> None:
        known = sorted((event for _, event in events_of(self.db, self.job)), key=lambda one: one.place)
        self.own = max((event.place for event in known if event.device == self.device), default=None)
        self.ahead, self.state = deque(known), fold(self.at.sheet, ())

    def end(self, shop: Shop) -> Progress:
        """Write down what has become of the job. The events themselves are in the journal by now."""
        for event in self.ahead:
            self.state = apply(self.at.sheet, self.state, event)
        if self.state.phase != "open":
            self._close(self.state)
        for event in self.taken:
            if event.kind == "photographed":
                expect(self.db, shop.photos, event)
        differences.keep(self.db, self.found, shop.now)
        devices = self.at.devices | {event.device for event in self.taken}
        newest_seq = newest(self.db, self.job)
        return replace(self.at, state=self.state, server_seq=newest_seq, last=self.last, devices=devices)

    def _close(self, state: JobState) -> None:
        job = job_of(self.db, self.job)
        job.phase, job.finished_at = state.phase, state.ended_at
        self.db.add(job)
        if state.phase == "finished":
            times.write_times(self.db, job, self.at.sheet, state)
        log.enter(self.db, job)
