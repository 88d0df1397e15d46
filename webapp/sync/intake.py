"""Taking a batch: one transaction in which its events are judged, kept or set aside, and acknowledged.

What is acknowledged is the highest seq up to which nothing of the device is missing: kept in the journal, or, where the
journal could not take it, set aside for a person. An event behind a gap is refused and not kept: the journal would show
a step without what led to it, and the phone, which never deletes what is not acknowledged, sends it again anyway.
"""

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session

from webapp.core.chain import follows
from webapp.core.check import Difference
from webapp.core.errors import BaybookError, Conflict
from webapp.core.events import Event
from webapp.storage import arrivals, asides, sign_ins
from webapp.storage.arrivals import Line
from webapp.storage.asides import Apart
from webapp.storage.devices import unknown
from webapp.storage.moments import seconds_between
from webapp.storage.phone_tables import Aside, Device
from webapp.storage.phone_tables import Batch as BatchRow
from webapp.storage.progress import Progress, remember
from webapp.sync.batch import Batch, Given, read_line
from webapp.sync.book import Book, Judged
from webapp.sync.judge import Shop
from webapp.sync.offline import Adopted, Plan, adopt

WAITS_FOR_JOB = ("job-unknown", "job-not-started", "sheet-differs")
"""Why an event waits for its job's facts: with them it comes in by itself, without anybody's decision."""


@dataclass(frozen=True)
class Answer:
    """What became of one event: kept, known (it was there already), aside, or refused (send it again)."""

    seq: int
    status: str
    why: BaybookError | None = None
    differences: tuple[Difference, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        said: dict[str, Any] = {"seq": self.seq, "status": self.status}
        if self.why:
            said |= self.why.as_dict()
        if self.differences:
            said["differences"] = [{"what": d.what, "phone": d.phone, "server": d.server} for d in self.differences]
        return said


@dataclass
class Taken:
    """What came of a batch; `progress` is to be remembered once the transaction has ended well."""

    highest: int
    offset_s: float | None
    answers: list[Answer]
    jobs: list[Adopted]
    progress: dict[str, Progress]


def foresee(db: Session, batch: Batch, shop: Shop) -> dict[str, Judged]:
    """Judge the batch's events as far as its jobs are here, by event id, before it stands in line: it takes long.

    `take` uses a judgement only where the event then meets the very state that it met here.
    """
    judged: dict[str, Judged] = {}
    books: dict[str, Book] = {}
    for event in (given.says for given in batch.events):
        if isinstance(event, Event):
            with suppress(BaybookError):  # `take` says what is wrong with it
                if event.job not in books:
                    books[event.job] = Book(db, event.job, batch.device, judged)
                    remember(event.job, books[event.job].at)
                books[event.job].take(event, shop)
    return judged


def take(
    db: Session, batch: Batch, shop: Shop, plans: Sequence[Plan] = (), judged: dict[str, Judged] | None = None
) -> Taken:
    """Take a batch, inside the session's transaction. Everything it does is kept when that is, or nothing.

    `plans` are the batch's jobs and `judged` its events, both worked out beforehand, since that takes long.

    Raises NotFound (`device-unknown`) or Conflict (`aside-full`).
    """
    device = db.get(Device, batch.device, with_for_update=True)
    if device is None:
        raise unknown(batch.device)
    intake = Intake(db, batch, device, shop, judged)
    return intake.run([adopt(db, plan) for plan in plans])


class Intake:
    """A transaction's work on one device's journal: `run` a batch, or `bring` one event and `finish`."""

    def __init__(
        self, db: Session, batch: Batch, device: Device, shop: Shop, judged: dict[str, Judged] | None = None
    ) -> None:
        self.db, self.batch, self.device, self.shop, self.judged = db, batch, device, shop, judged or {}
        self.highest = device.highest
        seqs = [one.seq for one in batch.events]
        self.held = arrivals.held(db, device.id, seqs[0] - 1, seqs[-1]) if seqs else {}
        self.chained = bool(seqs) and arrivals.is_chained(db, device.id, seqs[0])
        self.apart = asides.codes_of(db, device.id, [one.sha256 for one in batch.events])
        self.ids = arrivals.taken_ids(db, [one.says.id for one in batch.events if isinstance(one.says, Event)])
        self.books: dict[str, Book] = {}
        self.lines: list[Line] = []

    def run(self, jobs: list[Adopted]) -> Taken:
        for job in jobs:
            self._bring_what_waited(job)
        return self.finish([self._answer(given) for given in self.batch.events], jobs)

    def finish(self, answers: list[Answer], jobs: list[Adopted]) -> Taken:
        """Write down all that was let in."""
        self._see_device()
        progress = self._write() if self.lines else {}
        if self.lines:
            sign_ins.mark_wrong(self.db, self.device.id, self.shop.now)
        return Taken(self.highest, self.device.offset_s, answers, jobs, progress)

    def _bring_what_waited(self, job: Adopted) -> None:
        """Let in what was set aside for want of its job's facts, now that these have come along."""
        for aside in asides.waiting_for(self.db, job.id, self.device.id, WAITS_FOR_JOB):
            if job.why is None:
                self.bring(aside)

    def bring(self, aside: Aside, elsewhere: Given | None = None) -> BaybookError | None:
        """Let in what was set aside, in its own place or elsewhere. Return why not, where that cannot be."""
        try:
            self._keep(elsewhere or read_line(aside.line, self.device.id, "event"))
        except BaybookError as why:
            return why
        aside.holds = False
        asides.decide(self.db, aside, "brought-in", self.shop.by, self.shop.now, self.shop.why)
        return None

    def _answer(self, given: Given) -> Answer:
        standing = self.held.get(given.seq)
        if standing == given.sha256:
            return self._known(given)
        if standing is not None:
            message = (
                f"seq={given.seq} of device '{self.device.id}' is here already with other bytes; this one is kept aside"
            )
            return self._set_aside(given, Conflict("seq-other-bytes", "seq", message), holds=False)
        if given.seq != self.highest + 1 and not self.shop.lenient:
            message = f"seq={given.seq} comes after a gap: send {self.highest + 1} first, then this one again"
            return Answer(given.seq, "refused", Conflict("seq-gap", "seq", message))
        before = len(self.books[given.job].found) if given.job in self.books else 0
        try:
            self._keep(given)
        except BaybookError as why:
            answer = self._set_aside(given, why, holds=True)
        else:
            found = self.books[given.job or ""].found[before:]
            answer = Answer(given.seq, "kept", differences=tuple(one for _, one in found))
        self.held[given.seq] = given.sha256
        self.highest += given.seq == self.highest + 1
        return answer

    def _known(self, given: Given) -> Answer:
        aside = self.apart.get(given.sha256)
        if aside is None or not aside.holds:
            return Answer(given.seq, "known")
        return Answer(given.seq, "aside", Conflict(aside.code, aside.field, aside.message))

    def _set_aside(self, given: Given, why: BaybookError, *, holds: bool) -> Answer:
        apart = Apart(given.text, given.sha256, given.seq, given.job)
        self.apart[given.sha256] = asides.set_aside(self.db, self.device.id, apart, why, self.shop.now, holds=holds)
        return Answer(given.seq, "aside", why)

    def _keep(self, given: Given) -> None:
        """Let one event in. Raises BaybookError and changes nothing where it cannot be let in."""
        event = given.says
        if isinstance(event, BaybookError):
            raise event
        if event.id in self.ids:
            message = f"id='{event.id}' is another event's already; every event has an id of its own"
            raise Conflict("id-taken", "id", message)
        if event.job not in self.books:
            self.books[event.job] = Book(self.db, event.job, self.device.id, self.judged)
        book = self.books[event.job]
        book.take(event, self.shop)
        before = self.held.get(event.seq - 1)
        if (before or event.seq == 1) and not follows(event, before, self.chained):
            book.found.append((event, Difference("chain", event.before, before)))
        self.chained = self.chained or event.before is not None
        self.ids.add(event.id)
        self.lines.append(Line(given.row, given.text, given.sha256))

    def _write(self) -> dict[str, Progress]:
        row = BatchRow(
            device=self.device.id,
            received_at=self.shop.now,
            sent_at=self.batch.sent_at,
            mono_s=self.batch.mono_s,
            offset_s=self.device.offset_s if self.batch.sent_at else None,
            digest=self.batch.digest,
            signature=self.batch.signature,
            by=self.batch.by,
        )
        self.db.add(row)
        self.db.flush()
        arrivals.keep(self.db, row.id or 0, self.lines)
        return {job: book.end(self.shop) for job, book in self.books.items() if book.taken}

    def _see_device(self) -> None:
        device = self.device
        if self.batch.sent_at:
            device.offset_s, device.seen_at = (
                round(seconds_between(self.batch.sent_at, self.shop.now), 3),
                self.shop.now,
            )
        later = arrivals.held(self.db, device.id, self.highest + 1, arrivals.last_seq(self.db, device.id))
        while self.highest + 1 in later:  # a person has brought in what came after a gap
            self.highest += 1
        device.highest = self.highest
        self.db.add(device)
