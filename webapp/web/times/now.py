"""Now: the jobs in progress, how far each has come, when it will be done, and which runs much slower than expected."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from flask import render_template
from sqlmodel import Session

from webapp.core.clock import interval_s
from webapp.core.fold import step_of
from webapp.core.outlook import Outlook, outlook
from webapp.core.state import Clock, JobState
from webapp.core.view.frame import frame
from webapp.messages import say
from webapp.storage import jobs
from webapp.storage.figures import Figures, figures
from webapp.storage.progress import progress_of
from webapp.storage.tables import Job
from webapp.storage.times import RECENT
from webapp.web import db, moment, worded

from . import wording
from .pages import pages

ANEW_S = 20
"""The page is asked for again after so many seconds, by the browser itself."""
QUIET_S = 2 * 3600.0
"""Of a job that nothing was heard of for longer than this nobody can say when it will be done."""


@dataclass(frozen=True)
class Running:
    """One job in progress, in the words of its page. `quiet`: nothing was heard of it for long."""

    job: str
    order: str
    title: str
    bay: str
    settled: int
    of: int
    line: float
    section: str
    step: str
    paused: str | None
    held: bool
    quiet: bool
    since: str
    ahead: Outlook
    done_ms: float

    @property
    def slow(self) -> bool:
        return self.ahead.slow or self.ahead.step_slow


@pages.get("/now")
def now() -> str:
    at = moment.now()
    with db.session() as held:
        known = figures(held)
        running = [_running(held, known, job, at) for job in jobs.jobs_in(held, "open")]
        done = jobs.finished_since(held, moment.day_began(at.at))
    running.sort(key=lambda one: (one.quiet, one.done_ms))
    return render_template(
        "times/now.html", running=running, done=done, anew_s=ANEW_S, time=f"{moment.local(at.at):%H:%M}"
    )


def _running(held: Session, known: Figures, job: Job, at: Clock) -> Running:
    progress = progress_of(held, job.id)
    sheet, state = worded.in_words(progress.sheet), progress.state
    around = frame(sheet, state, at, say)
    step = step_of(sheet, state.current) if state.current else None

    def past(section: str, steps: Sequence[str]) -> Any:
        return known.whole(section, steps, RECENT)

    last = state.clock or at
    quiet_s = interval_s(last, at)[0]
    quiet = quiet_s > QUIET_S
    # Nobody knows what was done since nothing was heard: it is neither taken off nor called slow.
    ahead = outlook(sheet, state, last if quiet else at, past)
    return Running(
        job=job.id,
        order=around["order"],
        title=around["vehicle"] or job.vin,
        bay=wording.bay_name(held, job.bay) if job.bay else "",
        settled=around["settled"],
        of=around["of"],
        line=around["line"],
        section=around["section"],
        step=step["do"] if step else say("finish-title"),
        paused=state.paused,
        held=_is_held(state),
        quiet=quiet,
        since=_when(last.at, at),
        ahead=ahead,
        done_ms=datetime.fromisoformat(at.at).timestamp() * 1000 + 1000 * ahead.left_s[1],
    )


def finish_words(one: Running) -> str:
    """When the job will be done and within which times of day; or what stands in the way of telling."""
    low, middle, high = one.ahead.left_s
    left = say(
        "times-now-left",
        minutes=wording.whole_minutes(middle),
        low=wording.whole_minutes(low),
        high=wording.whole_minutes(high),
    )
    if one.quiet:
        return say("times-now-quiet", since=one.since, left=left)
    if one.paused:
        return say("times-now-paused", reason=wording.pause_name(one.paused), since=one.since, left=left)
    done = datetime.fromtimestamp(one.done_ms / 1000).astimezone()
    early, late = (done + timedelta(seconds=part - middle) for part in (low, high))
    return say("times-now-finish", at=f"{done:%H:%M}", early=f"{early:%H:%M}", late=f"{late:%H:%M}", left=left)


def slow_words(one: Running) -> list[str]:
    """What is much slower than expected, each in a sentence."""
    ahead, found = one.ahead, []
    if ahead.slow and ahead.usual_s is not None and ahead.most_s is not None:
        spent, usual, most = (wording.whole_minutes(part) for part in (ahead.so_far_s, ahead.usual_s, ahead.most_s))
        found.append(say("times-now-slow", spent=spent, usual=usual, most=most))
    if ahead.step_slow and ahead.step_usual_s is not None:
        spent, usual = wording.minutes(ahead.step_s), wording.minutes(ahead.step_usual_s)
        found.append(say("times-now-step-slow", spent=spent, usual=usual))
    return found


def _is_held(state: JobState) -> bool:
    return state.current is not None and state.step(state.current).status == "held"


def _when(then: str, at: Clock) -> str:
    """A time of today, or a day."""
    return f"{moment.local(then):%H:%M}" if moment.day_of(then) == moment.day_of(at.at) else wording.day(then)
