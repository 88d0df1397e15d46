"""How names, times and intervals are worded on the times pages. Times are in minutes, and the headings say so."""

from datetime import date, datetime
from urllib.parse import quote

from sqlmodel import Session

from webapp.core.statistics import Interval, Rate
from webapp.messages import say
from webapp.storage.tables import Item, JobTime
from webapp.web import db, worded

TENTHS_BELOW_S = 600
"""Under ten minutes a tenth of a minute tells; above, it would only look sure of itself."""


def minutes(seconds: float) -> str:
    return f"{seconds / 60:.1f}" if 0 < seconds < TENTHS_BELOW_S else f"{seconds / 60:.0f}"


def number(seconds: float) -> str:
    """A tick of an axis in minutes: `15`, `0.5`."""
    return f"{seconds / 60:.3g}"


def interval_words(interval: Interval) -> str:
    """The interval in minutes; an end that so few jobs cannot give is left open in words."""
    low = None if interval.low is None else minutes(interval.low)
    high = None if interval.high is None else minutes(interval.high)
    if low is not None and high is not None:
        return say("times-interval", low=low, high=high)
    if low is not None:
        return say("times-interval-from", low=low, needs=interval.needs)
    return say("times-interval-none", needs=interval.needs)


def rate_words(rate: Rate) -> str | None:
    """The rate's interval in whole per cent, or None where there are too few jobs."""
    if rate.low is None or rate.high is None:
        return None
    return say("times-rate-interval", low=f"{100 * rate.low:.0f}", high=f"{100 * rate.high:.0f}")


def calibration_name(name: str) -> str:
    """The procedure's title; a procedure that is no longer in the library keeps its name."""
    known = worded.library().procedures.get(name)
    return known.title if known else name


def step_name(step: str) -> str:
    """What the step says to do, as the procedure has it today."""
    section, _, name = step.partition("/")
    known = worded.library().procedures.get(section)
    return next((one.do for one in known.steps if one.id == name), step) if known else step


def section_name(step: str) -> str:
    return calibration_name(step.partition("/")[0])


def vehicle_name(name: str | None) -> str:
    known = db.library().vehicles.get(name or "")
    return f"{known.maker} {known.model}" if known else name or ""


def bay_name(held: Session, code: str) -> str:
    bay = held.get(Item, code)
    return bay.name if bay else code


def record_address(job: str) -> str:
    """Where the record of a job is read."""
    return f"/jobs/{quote(job, safe='')}/record"


def day(at: str) -> str:
    """The shop's calendar day of an instant: `12 Mar 2025`."""
    return day_words(datetime.fromisoformat(at).astimezone().date())


def day_words(day: date) -> str:
    return f"{day.day} {day:%b %Y}"


def pause_name(reason: str) -> str:
    return say(f"pause-{reason}")


def outcome(row: JobTime) -> str:
    """What the scan tool said in the end, with its shape; done after a failed run says so."""
    if row.outcome == "done" and row.first_time_pass is False:
        return say("times-outcome-again")
    return say(f"times-outcome-{row.outcome}")
