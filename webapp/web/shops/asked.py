"""What the address asks for on the pages about all shops. Forms and links use the same words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import RowMapping

from webapp.core.errors import BadInput, shown
from webapp.messages import say
from webapp.storage.office.across import Asked, Choices
from webapp.storage.office.months import after
from webapp.web.times import wording
from webapp.web.times.asked import revision_of

FILTERS = ("region", "shop", "since", "until", "vehicle", "revision", "placing")
"""A bay and a person are a shop's own: they do not go along to head office's pages."""


@dataclass(frozen=True)
class Pick:
    """A list to choose from: its field, its label, and of each choice the value and the words."""

    name: str
    label: str
    options: list[tuple[str, str]]


def asked(given: Mapping[str, str]) -> Asked:
    """Read the filters; months are whole, both included.

    Raises BadInput (`month-unreadable`, `months-swapped`, `revision-unreadable`).
    """
    since, until = month_of(given, "since"), month_of(given, "until")
    if since and until and since > until:
        what = f"since={given['since']} lies after until={given['until']}; swap the two months"
        raise BadInput("months-swapped", "since", what)
    words = {name: given.get(name) or None for name in ("region", "shop", "vehicle", "placing")}
    return Asked(**words, since=since, until=after(until) if until else None, revision=revision_of(given))


def query(given: Mapping[str, str], *names: str) -> dict[str, str]:
    """The filters that are set, as every link keeps them; with names, those alone."""
    return {name: given[name] for name in names or FILTERS if given.get(name)}


def month_of(given: Mapping[str, str], name: str) -> date | None:
    """Raises BadInput (`month-unreadable`)."""
    text = given.get(name) or ""
    if not text:
        return None
    try:
        if len(text) != len("2026-03"):
            raise ValueError
        return date.fromisoformat(f"{text}-01")
    except ValueError:
        what = f"{name}={shown(text)} must be a month such as 2026-03"
        raise BadInput("month-unreadable", name, what) from None


def picks(rows: Sequence[RowMapping], found: Choices | None, query: Mapping[str, str]) -> list[Pick]:
    """The lists to choose from: region and shop, and what the jobs differ in. A list of one is no choice."""
    regions = sorted({row["region"] for row in rows})
    made = [
        Pick("region", say("shops-region"), [(one, one) for one in regions]),
        Pick("shop", say("shops-one"), [(row["id"], f"{row['name']} · {row['region']}") for row in rows]),
    ]
    if found:
        vehicles = sorted(((one, wording.vehicle_name(one)) for one in found.vehicles), key=lambda one: one[1])
        made += [
            Pick("vehicle", say("times-vehicle"), vehicles),
            Pick("placing", say("times-placing"), [(one, one) for one in found.placings]),
            Pick("revision", say("times-revision"), [(str(one), str(one)) for one in found.revisions]),
        ]
    return [one for one in made if len(one.options) > 1 or one.name in query]


def narrowed(picks: Sequence[Pick], query: Mapping[str, str]) -> str:
    """What the filters that are set mean, in words."""
    months = [
        say(f"times-narrowed-{name}", day=wording.month_words(month))
        for name in ("since", "until")
        if (month := month_of(query, name))
    ]
    chosen = [
        say("times-narrowed-with", label=one.label, words=dict(one.options).get(query[one.name], query[one.name]))
        for one in picks
        if one.name in query
    ]
    return ", ".join([*months, *chosen])
