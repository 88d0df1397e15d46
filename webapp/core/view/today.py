"""Today: the equipment check, the open jobs, and the way to a new one."""

from collections.abc import Sequence
from typing import Any

from ..procedure import Library
from ..sheet import Say, Sheet
from ..state import Clock, JobState
from .frame import frame

View = dict[str, Any]
CHECK_LOOKS = {"valid": ("inside", "●"), "running": ("close", "◐"), "due": ("close", "◐")}


def today_view(
    check: View,
    opened: Sequence[View],
    planned: Sequence[View],
    ended: Sequence[View],
    say: Say,
    waiting: int = 0,
    release: int | None = None,
) -> View:
    """`check` is {"status": valid, running or due, "job", "time"}; the others are rows, as the functions below.

    `waiting` is how many steps wait for whoever reads it, a supervisor; `release` the number of one of head office's
    that waits for their decision.
    """
    look, shape = CHECK_LOOKS[check["status"]]
    day_check = {
        "class": look,
        "shape": shape,
        "says": say(f"today-check-{check['status']}", time=check["time"]),
        "record": f"/jobs/{check['job']}/record" if check["status"] == "valid" else None,
        "go": None if check["status"] == "valid" else say(f"today-check-go-{check['status']}"),
    }
    rows = {"opened": list(opened), "planned": list(planned), "ended": list(ended)}
    some = {f"has_{name}": bool(found) for name, found in rows.items()}
    waits = say("today-waits", count=waiting) if waiting else None
    undecided = say("releases-waits", number=release) if release else None
    return {"today": {"check": day_check, "waits": waits, "release": undecided, **rows, **some}}


def open_row(sheet: Sheet, state: JobState, now: Clock, say: Say, truth: View | None = None) -> View:
    """An open job and how far it has come. `truth` is where its data is, on a phone that can work it alone."""
    at = frame(sheet, state, now, say)
    where = [say("paused-title")] if state.paused else []
    where += [at["section"] or say("finish-title"), say("today-settled", settled=at["settled"], of=at["of"])]
    title = at["vehicle"] or sheet["job"]["vin"] or say("today-vehicle-unknown")
    return {
        "url": at["url"],
        "order": at["order"],
        "title": title,
        "mark": "◐ " if state.paused else "",
        "where": " · ".join(where),
        "truth": truth,
    }


def away_row(library: Library, facts: View, say: Say) -> View:
    """An open job of the shop that this phone does not hold."""
    where, title = say("today-away"), title_of(library, facts, say)
    row = {"url": f"/jobs/{facts['id']}", "order": facts["repair_order"], "title": title}
    return row | {"mark": "○ ", "where": where, "truth": None}


def planned_row(library: Library, facts: View, say: Say) -> View:
    """A job that is being planned."""
    order = facts["repair_order"] or say("today-no-order")
    title = title_of(library, facts, say)
    return {"url": f"/jobs/{facts['id']}/plan", "order": order, "title": title, "vin": facts["vin"]}


def ended_row(library: Library, facts: View, day: str, url: str, say: Say) -> View:
    """A job that was finished or abandoned on that day of the shop's."""
    when = say("today-abandoned" if facts["phase"] == "abandoned" else "today-finished-job", day=day)
    return {"url": url, "order": facts["repair_order"], "title": title_of(library, facts, say), "where": when}


def to_look_at(row: View, say: Say) -> View:
    """The row of a job on whose page something is to be looked at (see `apart`), so that somebody does."""
    return row | {"where": f"◐ {say('today-apart')} · {row['where']}"}


def title_of(library: Library, facts: View, say: Say) -> str:
    """What the vehicle is called, as far as it is known."""
    vehicle = library.vehicles.get(facts["vehicle"] or "")
    return f"{vehicle.maker} {vehicle.model}" if vehicle else facts["vin"] or say("today-vehicle-unknown")
