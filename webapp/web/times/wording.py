"""How names, times and intervals are worded on the times pages. Times are in minutes, and the headings say so."""

from collections.abc import Iterable
from datetime import date, datetime
from urllib.parse import quote

from babel.dates import format_date
from sqlmodel import Session

from webapp.core.learning import Curve
from webapp.core.shift import Shift
from webapp.core.statistics import Interval, Rate
from webapp.messages import say, tongue
from webapp.storage.tables import Item, JobTime
from webapp.web import db, worded

from .figures import Bin, Group

TENTHS_BELOW_S = 600
"""Under ten minutes a tenth of a minute tells; above, it would only look sure of itself."""


def minutes(seconds: float) -> str:
    return decimal(seconds / 60, 1 if 0 < seconds < TENTHS_BELOW_S else 0)


def decimal(value: float, places: int = 1) -> str:
    """A number with so many decimals, with the decimal sign of the language."""
    return tongue().wording.of(f"{value:.{places}f}")


def whole_minutes(seconds: float) -> str:
    """Whole minutes, for what is told at a glance."""
    return f"{seconds / 60:.0f}"


def number(seconds: float) -> str:
    """A tick of an axis in minutes: `15`, `0.5`."""
    return tongue().wording.of(f"{seconds / 60:.3g}")


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


def rule_words(rule: str, more: int) -> str:
    """Which run rule a job completes; `more` jobs after it do so too."""
    words = say(f"times-rule-{rule}")
    return say("times-rule-more", rule=words, more=more) if more else words


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
    return format_date(day, "d MMM y", locale=tongue().code.replace("-", "_"))


def month_words(month: date) -> str:
    """A month: `Mar 2025`."""
    return format_date(month, "MMM y", locale=tongue().code.replace("-", "_"))


def day_of(unix_ms: int) -> str:
    """The same of an instant in Unix milliseconds."""
    return day_words(date_of(unix_ms))


def date_of(unix_ms: int) -> date:
    """The shop's calendar day of an instant in Unix milliseconds."""
    return datetime.fromtimestamp(unix_ms / 1000).astimezone().date()


def plain(name: str) -> str:
    """A name as it is."""
    return name


def curve_words(found: Curve | None, n: int) -> str:
    """What a learning curve says, or that it takes more jobs, or that none is shown."""
    if found is None:
        return say("times-learner-few", n=n)
    if not found.shown:
        return say("times-learner-no-curve", n=found.n)
    less, low, high = (whole(100 * (1 - 2**one)) for one in (found.exponent, found.high, found.low))
    return say("times-learner-curve", less=less, low=low, high=high, n=found.n, now=minutes(found.now_s))


def whole(value: float) -> str:
    return f"{value:.0f}"


def nth_rows(nth: Iterable[int], seconds: Iterable[float]) -> list[tuple[int, str]]:
    """A learning curve's jobs as a table: the number of each, and its minutes."""
    return [(number, minutes(one)) for number, one in zip(nth, seconds, strict=True)]


def per_cent(part: float) -> str:
    """A share in whole per cent."""
    return say("times-per-cent", n=f"{100 * part:.0f}")


def shift_words(found: Shift) -> str:
    """By how much the later jobs took longer or less, with the interval; or that no difference is shown."""
    low = "–" if found.low is None else signed(found.low)
    high = "–" if found.high is None else signed(found.high)
    which = "none" if not found.shown else "longer" if found.shift > 0 else "shorter"
    return say(f"times-effect-{which}", by=minutes(abs(found.shift)), low=low, high=high)


def signed(seconds: float) -> str:
    """A difference in minutes with its sign."""
    sign = "+" if seconds > 0 else "−" if seconds < 0 else ""
    return f"{sign}{minutes(abs(seconds))}"


def bin_rows(bins: Iterable[Bin]) -> list[tuple[str, int]]:
    """The distribution as a table: from how many minutes to how many, and in how many jobs."""
    return [
        (
            say("times-bin", low=number(one.low_s), high=number(one.high_s))
            if one.high_s
            else say("times-bin-last", low=number(one.low_s)),
            one.n,
        )
        for one in bins
    ]


def group_rows(groups: Iterable[Group]) -> list[tuple[str, str, int, str, str]]:
    """The trend as a table: from which day to which, how many jobs, their median and where that lies."""
    return [
        (
            day_of(one.begin_ms),
            day_of(one.end_ms),
            one.n,
            minutes(one.found.median),
            interval_words(one.found.median_interval) if one.found.median_interval else "–",
        )
        for one in groups
    ]


def cause_name(cause: str) -> str:
    """A cause in the language of the page, where the library says it; else as somebody typed it."""
    return tongue().wording.of(cause)


def pause_name(reason: str) -> str:
    return say(f"pause-{reason}")


def outcome(row: JobTime) -> str:
    """What the scan tool said in the end, with its shape; done after a failed run says so."""
    if row.outcome == "done" and row.first_time_pass is False:
        return say("times-outcome-again")
    return say(f"times-outcome-{row.outcome}")
