"""What the address asks for: which jobs are meant. Form, links and the file's address all use the same words."""

from collections.abc import Mapping
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from sqlmodel import Session

from webapp.core.errors import BadInput, NotAllowed, shown
from webapp.messages import say
from webapp.storage import people
from webapp.storage.figures import Asked
from webapp.storage.packed import unix_ms
from webapp.web.rights import may_change
from webapp.web.who import current_person

from .wording import bay_name, day_words, vehicle_name

ONLY = ("again", "left-out")


FILTERS = ("since", "until", "vehicle", "bay", "person", "placing", "revision")


def asked(given: Mapping[str, str]) -> Asked:
    """Read the filters from the address; empty ones ask for all, unknown ones are not ours.

    Days are the shop's own calendar days, both included. Raises BadInput (`date-unreadable`, `dates-swapped`,
    `revision-unreadable`), or NotAllowed (`person-not-shown`) for a person whose times are not for who is asking.
    """
    since, until = _day(given, "since"), _day(given, "until")
    if since and until and since > until:
        raise BadInput("dates-swapped", "since", f"since={since} lies after until={until}; swap the two days")
    return Asked(
        since=begins(since) if since else None,
        until=begins(until + timedelta(days=1)) if until else None,
        vehicle=given.get("vehicle") or None,
        bay=given.get("bay") or None,
        person=_person(given),
        placing=given.get("placing") or None,
        revision=revision_of(given),
    )


def query(given: Mapping[str, str]) -> dict[str, str]:
    """The filters that are set, as every link keeps them."""
    return {name: given[name].strip() for name in FILTERS if given.get(name, "").strip()}


def only(given: Mapping[str, str]) -> str | None:
    """Which of the meant jobs are listed: all, those not right the first time, those that statistics leave out.

    Raises BadInput (`only-unknown`).
    """
    word = given.get("only") or None
    if word is not None and word not in ONLY:
        raise BadInput("only-unknown", "only", f"only={shown(word)} is not known; expected one of {', '.join(ONLY)}")
    return word


Pick = tuple[str, str, str, list[tuple[str, str]]]


def picks(held: Session, asked: Asked, choices: Mapping[str, list[Any]]) -> list[Pick]:
    """The lists to choose from: (field, label, what is chosen, options). A list of one is no choice and is left out."""
    lists = (
        ("vehicle", say("times-vehicle"), asked.vehicle, [(name, vehicle_name(name)) for name in choices["vehicle"]]),
        ("bay", say("times-bay"), asked.bay, [(code, bay_name(held, code)) for code in choices["bay"]]),
        ("person", say("times-person"), asked.person, _people(held, choices["person"])),
        ("placing", say("times-placing"), asked.placing, [(word, word) for word in choices["placing"]]),
        ("revision", say("times-revision"), asked.revision, [(str(one), str(one)) for one in choices["revision"]]),
    )
    return [
        (name, label, "" if given is None else str(given), options)
        for name, label, given, options in lists
        if len(options) > 1 or given is not None
    ]


def _people(held: Session, badges: list[str]) -> list[tuple[str, str]]:
    """Whose jobs may be asked for: everybody's by who answers for the work, else one's own. In order of their names."""
    names = {one.code: one.name for one in people.everyone(held)}
    asking = current_person()
    mine = [code for code in badges if may_change() or (asking and asking.code == code)]
    return sorted(((code, names.get(code, code)) for code in mine), key=lambda one: one[1])


def _person(given: Mapping[str, str]) -> str | None:
    code = given.get("person") or None
    asking = current_person() if code else None
    if code and not may_change() and not (asking and asking.code == code):
        what = (
            f"person={shown(code)} is for that person, a supervisor or a manager: scan such a badge on this phone first"
        )
        raise NotAllowed("person-not-shown", "person", what)
    return code


def compared_day(given: Mapping[str, str]) -> tuple[int, str] | None:
    """The day before and after which jobs are compared: its beginning in Unix milliseconds, and in words."""
    day = _day(given, "compare")
    return (unix_ms(begins(day)), day_words(day)) if day else None


def narrowed(given: Mapping[str, str], picks: list[Pick]) -> str:
    """What the filters that are set mean, in words."""
    days = [
        say(f"times-narrowed-{name}", day=day_words(day))
        for name in ("since", "until")
        if (day := _day(given, name)) is not None
    ]
    chosen = [
        say("times-narrowed-with", label=label, words=dict(options).get(value, value))
        for _name, label, value, options in picks
        if value
    ]
    return ", ".join([*days, *chosen])


def _day(given: Mapping[str, str], name: str) -> date | None:
    text = given.get(name, "").strip()
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        what = f"{name}={shown(text)} is no day; write it like 2025-03-31"
        raise BadInput("date-unreadable", name, what) from error


def begins(day: date) -> str:
    """The instant at which that day begins in the shop, as the journal writes instants."""
    begins = datetime.combine(day, time()).astimezone(UTC)
    return begins.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def revision_of(given: Mapping[str, str]) -> int | None:
    """The revision that is asked for. Raises BadInput (`revision-unreadable`)."""
    text = given.get("revision", "").strip()
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) <= 6):
        what = f"revision={shown(text)} must be a whole number from 1"
        raise BadInput("revision-unreadable", "revision", what)
    return int(text)
