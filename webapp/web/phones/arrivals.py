"""What phones brought that the journal could not take: shown with its phone, its time and the reason, for a manager.

The decision itself is taken at /sync, where the journal is written; its forms stand here.
"""

import json
from collections import Counter
from dataclasses import dataclass
from typing import cast

from flask import get_flashed_messages, render_template
from sqlmodel import Session

from webapp.messages import say
from webapp.storage import asides, people
from webapp.storage.phone_tables import Aside, Device
from webapp.web import db, moment
from webapp.web.phones import pages
from webapp.web.rights import need_supervisor
from webapp.web.who import current_person

MOST_SHOWN = 50
LONGEST_TEXT = 4000


@dataclass(frozen=True)
class Row:
    """One of them, in words."""

    aside: Aside
    phone: str
    at: str
    what: str
    text: str
    decided: str


@pages.get("/phones/arrivals")
def show_arrivals() -> str:
    need_supervisor()
    person = current_person()
    with db.session() as held:
        names = {one.code: one.name for one in people.everyone(held)}
        waiting = [_row(*both, names) for both in asides.asides(held)]
        decided = _decided(held, names)
    told = cast(list[tuple[str, str]], get_flashed_messages(with_categories=True))
    shown = {str(row.aside.id) for row in waiting[:MOST_SHOWN]}
    refused = _about("refused", told)
    return render_template(
        "phones/arrivals.html",
        waiting=waiting[:MOST_SHOWN],
        more=max(0, len(waiting) - MOST_SHOWN),
        decided=decided,
        decides=person is not None and person.role == "manager",
        done=[text for sort, text in told if sort == "done"],
        alike=Counter((row.aside.device, row.aside.code) for row in waiting),
        refused=refused,
        elsewhere=[text for number, text in refused.items() if number not in shown],
        reasons=_about("reason", told),
        ticked=_about("all", told),
    )


def _about(what: str, told: list[tuple[str, str]]) -> dict[str, str]:
    """What a form was sent back with, by the number of what it was about; '' where it was about none."""
    return {sort.removeprefix(what).strip(): text for sort, text in told if sort.split(" ")[0] == what}


def _decided(held: Session, names: dict[str, str]) -> list[Row]:
    latest = sorted(asides.asides(held, decided=True), key=lambda both: both[0].decided_at or "", reverse=True)
    return [_row(*both, names) for both in latest[:MOST_SHOWN]]


def _row(aside: Aside, device: Device, names: dict[str, str]) -> Row:
    decided = ""
    if aside.decided_at:
        name = names.get(aside.decided_by or "", aside.decided_by or say("arrivals-itself"))
        decided = say("arrivals-decided-by", at=_time(aside.decided_at), name=name, why=aside.decided_why or "–")
    what, text = _what(aside, names), aside.line[:LONGEST_TEXT]
    return Row(aside, device.name, _time(aside.received_at), what, text, decided)


def _what(aside: Aside, names: dict[str, str]) -> str:
    """What it is, as far as its text tells: it may be anything, so nothing in it is relied upon."""
    try:
        said = json.loads(aside.line)
        if aside.seq is None:
            return say("arrivals-batch", count=len(said["events"]))
        who = str(said.get("person") or "–")
        return say(
            "arrivals-event", what=str(said["kind"])[:40], at=_time(str(said["at"])), who=names.get(who, who[:40])
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return aside.line[:80]


def _time(at: str) -> str:
    return f"{moment.local(at):%Y-%m-%d %H:%M}"
