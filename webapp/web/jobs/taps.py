"""One tap: the guard, the event and the answer to it, in one transaction."""

from dataclasses import dataclass, replace

from sqlmodel import Session

from webapp.core.act import Draft, act, is_repeat
from webapp.core.errors import Stale
from webapp.core.events import Event, new_id
from webapp.core.kinds import Moment
from webapp.storage import attachments, times
from webapp.storage.jobs import job_of
from webapp.storage.journal import append, next_seq
from webapp.storage.progress import Progress, progress_of, remember
from webapp.storage.tables import Job
from webapp.web import db, moment
from webapp.web.who import person_in

# Events that Flask itself records are this device's; each phone will have a name of its own.
DEVICE = "server"


@dataclass(frozen=True)
class Tapped:
    """Where the job stands after a tap; `stale` says that the tap changed nothing, since its page was an old one."""

    progress: Progress
    stale: str | None = None


def tap(job_id: str, given: dict[str, str], when: Moment, photo: attachments.Photo | None = None) -> Tapped:
    """Keep what this form asks for. When it returns, the event is on the disk.

    Raises BadInput or NotAllowed as `core.act.act` does; a stale page is an answer, not an error.
    """
    with db.sharing() as held:
        progress = progress_of(held, job_id)
        when = replace(when, person=person_in(held))
        try:
            draft = act(progress.sheet, progress.state, given, when)
        except Stale as stale:
            return Tapped(progress, None if is_repeat(progress.state, given) else stale.message)
        progress = _keep(held, job_id, progress, draft, when, photo)
    remember(job_id, progress)
    return Tapped(progress)


def _keep(
    held: Session, job_id: str, progress: Progress, draft: Draft, when: Moment, photo: attachments.Photo | None
) -> Progress:
    event = make_event(held, job_id, draft, when, progress.round_of(DEVICE))
    (server_seq,) = append(held, [event])
    if photo:
        attachments.attach(held, photo, event)
    after = progress.after(event, server_seq)
    if after.state.phase != "open":
        _end(held, job_of(held, job_id), after)
    return after


def make_event(held: Session, job_id: str, draft: Draft, when: Moment, in_round: int = 0) -> Event:
    """Give a draft its identity and its place."""
    clock = when.clock
    return Event(
        id=new_id(moment.unix_ms()),
        job=job_id,
        device=DEVICE,
        seq=next_seq(held, DEVICE),
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


def _end(held: Session, job: Job, after: Progress) -> None:
    job.phase, job.finished_at = after.state.phase, after.state.ended_at
    held.add(job)
    if after.state.phase == "finished":
        times.write_times(held, job, after.sheet, after.state)
