"""One tap: the guard, the event and the answer to it."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cache, partial

from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core.act import Draft, act, is_repeat
from webapp.core.errors import BaybookError, Stale
from webapp.core.events import Event, new_id
from webapp.core.kinds import Moment
from webapp.core.kinds.common import Person
from webapp.storage import attachments, log, people, times
from webapp.storage.engine import with_session
from webapp.storage.jobs import job_of
from webapp.storage.journal import append_next
from webapp.storage.line import Work
from webapp.storage.progress import Progress, progress_of, recall, remember
from webapp.storage.tables import Job
from webapp.storage.trouble import locked
from webapp.web import db, moment
from webapp.web.jobs.apart import only_own_pages
from webapp.web.who import badge, person_in, phone

ENDS = ("finished", "abandoned")
Added = tuple[Event, int] | None
Draw = Callable[[Progress, Person | None, bool], Response]
MOST_TRIES = 20
"""So often others may come in between on one job before a tap is told to try again later."""


@dataclass(frozen=True)
class Known:
    """What a tap is decided on, on which paired phone, if it is one. `sure` where the database said so just now."""

    progress: Progress
    person: Person | None
    phone: str | None
    sure: bool


def tap(job_id: str, given: dict[str, str], when: Moment, photo: attachments.Photo | None, draw: Draw) -> Response:
    """Keep what this form asks for, and return its answer. When it returns, the event is on the disk.

    It is decided before anybody else is kept waiting, and added only if what it was decided on still holds then.
    `draw` makes the answer of where the job stands, of who reads it, and whether the form was drawn for another place.
    Raises BadInput or NotAllowed as `core.act.act` does; a stale page is an answer, not an error.
    """
    for known in _known(job_id):
        progress, now = known.progress, replace(when, person=known.person)
        try:
            draft = act(progress.sheet, progress.state, given, now)
        except BaybookError as refused:
            if not known.sure:
                continue
            if not isinstance(refused, Stale):
                raise
            return draw(progress, known.person, not is_repeat(progress.sheet, progress.state, given))
        event = make_event(job_id, draft, now, progress.round_of(db.journal()))
        foreseen = progress.after(event, progress.server_seq)
        # The answer is made while others write, where it can be, and sent after that.
        answer = cache(partial(draw, foreseen, known.person, False))
        if added := db.share(_keeping(known, event, photo), answer if only_own_pages(progress) else None):
            remember(job_id, progress.after(*added, state=foreseen.state))
            return answer()
    raise locked()


def _known(job_id: str) -> Iterator[Known]:
    """At first what is in memory, where all of it is; then what the database says, a few times."""
    code = badge()
    progress, person = recall(job_id), people.recall(code) if code else None
    if progress and (person or not code):
        yield Known(progress, person, phone(), sure=False)
    for _ in range(MOST_TRIES):
        with db.session() as held:
            known = Known(progress_of(held, job_id), person_in(held), phone(), sure=True)
        yield known


def _keeping(known: Known, event: Event, photo: attachments.Photo | None) -> Work[Added]:
    """How the event is added, with what comes with it."""
    if photo or event.kind in ENDS:
        return with_session(partial(_keep_all, known, event, photo))
    return partial(append_next, event=event, newest=known.progress.server_seq, by=known.person, phone=known.phone)


def _keep_all(known: Known, event: Event, photo: attachments.Photo | None, held: Session) -> Added:
    added = append_next(held.connection(), event, known.progress.server_seq, known.person, known.phone)
    if added and photo:
        attachments.attach(held, photo, event)
    if added and event.kind in ENDS:
        _end(held, job_of(held, event.job), known.progress.after(*added))
    return added


def _end(held: Session, job: Job, after: Progress) -> None:
    job.phase, job.finished_at = after.state.phase, after.state.ended_at
    held.add(job)
    if after.state.phase == "finished":
        times.write_times(held, job, after.sheet, after.state)
    log.enter(held, job)


def make_event(job_id: str, draft: Draft, when: Moment, in_round: int = 0) -> Event:
    """Give a draft its identity, in the server's own journal. Its seq is given when it is added."""
    clock = when.clock
    return Event(
        id=new_id(moment.unix_ms()),
        job=job_id,
        device=db.journal(),
        seq=0,
        kind=draft.kind,
        step=draft.step,
        attempt=draft.attempt,
        turn=draft.turn,
        at=clock.at,
        mono_s=clock.mono_s,
        boot=clock.boot,
        person=when.person.code if when.person else None,
        data=draft.data,
        round=in_round,
    )
