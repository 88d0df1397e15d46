"""What if: a day's play with other bays, technicians, stands, arrivals or mix, from the shop's own measured times."""

from collections.abc import Mapping
from math import isinf

from flask import render_template, request
from sqlmodel import Session

from webapp.core.errors import BadInput, BaybookError, shown
from webapp.core.whatif import LIMITS, MOST_MIX, WAYS, Mean, Past, Trial, what_if
from webapp.core.workday import Capacity, Work
from webapp.messages import say
from webapp.storage import kit, people
from webapp.storage.figures import Whole, figures
from webapp.web import db
from webapp.web.refusals import status_of

from . import wording
from .pages import pages

MOST_PAST = 2000
RECENT_DAYS = 60
"""As many vehicles a day as came on the last so many days with any."""
HOURS = 9.0
AT_WORK = ("technician", "apprentice")


@pages.get("/what-if")
def what_if_page() -> tuple[str, int]:
    with db.session() as held:
        known = figures(held)
        past = known.recent(MOST_PAST)
        usual = _usual(held, past)
    given = {name: request.args.get(name, value).strip() for name, value in usual.items()}
    names = sorted(known.calibrations(), key=wording.calibration_name)
    mix = {name: request.args.get(f"mix-{name}", "").strip() for name in names}
    outcome, refused = None, None
    if request.args:
        try:
            outcome = what_if(_trial(given, mix), _drawn(past))
        except BaybookError as error:
            refused = error
    page = render_template(
        "times/whatif.html",
        given=given,
        mix=mix,
        jobs=len(past),
        outcome=outcome,
        refused=refused,
        limits=LIMITS,
        most_mix=MOST_MIX,
        way_options=[(way, say(f"times-whatif-way-{way}")) for way in WAYS],
    )
    return page, status_of(refused) if refused else 200


def _usual(held: Session, past: list[Whole]) -> dict[str, str]:
    """The shop as it is: what the form begins with."""
    items = kit.items(held)
    stands = [item.is_ for item in items if item.kind == "spot" and _on_stand(item.is_)]
    days = [wording.day_of(one.finished_ms) for one in past]
    last = dict.fromkeys(reversed(days))
    counted = list(last)[:RECENT_DAYS]
    arrivals = sum(day in set(counted) for day in days) / len(counted) if counted else LIMITS["arrivals"][0]
    found = {
        "bays": sum(item.kind == "bay" for item in items),
        "technicians": sum(one.active and one.role in AT_WORK for one in people.everyone(held)),
        "stands": max((stands.count(one) for one in set(stands)), default=1),
        "arrivals": round(arrivals, 1),
        "hours": HOURS,
    }
    within = {name: min(max(value, LIMITS[name][0]), LIMITS[name][1]) for name, value in found.items()}
    return {name: f"{value:g}" for name, value in within.items()} | {"way": WAYS[0]}


def _on_stand(spot: str) -> bool:
    known = db.library().catalogue.spots.get(spot)
    return known is not None and known.where == "stand"


def _drawn(past: list[Whole]) -> list[Past]:
    """The finished jobs as the play takes them: which calibrations are done at a stand is the library's."""
    library = db.library()
    needs = {
        name
        for vehicle in library.vehicles.values()
        for name, spec in vehicle.specs.items()
        if any(_on_stand(one.spot) for one in spec.placements)
    }
    return [
        Past(
            tuple(name for name, _ in one.own_s),
            Work(one.shared_s, one.pauses_s, tuple((seconds, name in needs) for name, seconds in one.own_s)),
        )
        for one in past
    ]


def _trial(given: Mapping[str, str], mix: Mapping[str, str]) -> Trial:
    """Read the form. Raises BadInput naming the field."""
    whole = {name: _whole(given[name], name) for name in ("bays", "technicians", "stands")}
    if given["way"] not in WAYS:
        message = f"way={shown(given['way'])} is not known; expected one of {', '.join(WAYS)}"
        raise BadInput("way-unknown", "way", message)
    asked = {name: _number(text, f"mix-{name}", 0, MOST_MIX) for name, text in mix.items() if text}
    return Trial(
        capacity=Capacity(**whole),
        arrivals=_number(given["arrivals"], "arrivals", *LIMITS["arrivals"]),
        hours=_number(given["hours"], "hours", *LIMITS["hours"]),
        way=given["way"],
        mix=asked,
    )


def _whole(text: str, name: str) -> int:
    low, high = LIMITS[name]
    if not (text.isascii() and text.isdigit() and len(text) <= 6 and low <= int(text) <= high):
        raise BadInput("out-of-range", name, f"{name}={shown(text)} must be a whole number from {low} to {high}")
    return int(text)


def _number(text: str, name: str, low: float, high: float) -> float:
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = float("nan")
    if not low <= value <= high:
        raise BadInput("out-of-range", name, f"{name}={shown(text)} must be a number from {low:g} to {high:g}")
    return value


def interval_words(mean: Mean) -> str:
    """The 95 % confidence interval of a mean."""
    return say("times-interval", low=wording.decimal(mean.low), high=wording.decimal(mean.high))


def day_words(mean: Mean) -> str:
    """Between which numbers 8 of 10 days lie."""
    return say("times-interval", low=wording.decimal(mean.day_low, 0), high=wording.decimal(mean.day_high, 0))


def gain_words(mean: Mean) -> str:
    """By how many jobs a day more or fewer, with the interval."""
    return say("times-whatif-gain", by=_signed(mean.mean), low=_signed(mean.low), high=_signed(mean.high))


def _signed(jobs: float) -> str:
    sign = "+" if jobs >= 0.005 else "−" if jobs <= -0.005 else ""
    return f"{sign}{wording.decimal(abs(jobs), 2)}"


def wait_words(seconds: float) -> str:
    return say("times-whatif-not-that-day") if isinf(seconds) else say("minutes", count=round(seconds / 60))
