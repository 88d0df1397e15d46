"""A phone's decisions, made again: what the server would have recorded for the same tap, and where the two differ.

The rule: a decision is made again from all that the phone could know. An event stands behind everything that its maker
knew, so its attempt and turn, which count what happened at its step, say whether the phone had seen all that lies
before the event at that step. Then the whole decision is made again. Where it had not, another device worked the same
step unheard of: then only what hangs on nothing that happened at the step is made again, and the crossing itself is
told by `core.crossing`, for people to look at.

A cause that leads back to an earlier step, and the end of a job, hang on all of the job: they are made again only where
the phone surely knew all of it (`core.knowledge`). Where it did, a tap that came too late here cannot have been in time
there, and that is a difference, too.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import isclose
from typing import Any

from .act import act
from .competence import at_step
from .errors import BaybookError, Stale
from .events import Event
from .fold import step_of
from .kinds import RECORDS, Moment
from .measure.equip import NONE, kinds_of
from .sheet import Sheet
from .state import JobState, StepState

RELATIVE = 1e-9
"""Two sides' sums are equal when they are to so much of their size: rounding in the last digits is no difference."""


@dataclass(frozen=True)
class Difference:
    """`what` was decided, by its name in the event's data or the code of a refusal; what either side made of it."""

    what: str
    phone: Any
    server: Any


@dataclass(frozen=True)
class Checked:
    """What came of it. `same`: the event's data are to the letter what the server would have written."""

    differences: list[Difference]
    same: bool


def check(sheet: Sheet, before: JobState, event: Event, moment: Moment, knew_all: Callable[[], bool]) -> Checked:
    """Decide again what the event says, and compare.

    `before` is the state just before the event's place; `moment` the event's own clock and day, the kit as it is here,
    the person and the witness that the event names, as they are known here (None: nobody of the shop). `knew_all` says
    whether the event's maker surely knew all that `before` was made of; it is asked only where that matters.
    """
    form = _FORMS.get(event.kind)
    if form is None:
        return Checked([], same=False)
    given = _form(sheet, event, form)
    try:
        found = _compared(event, act(sheet, before, given, moment).data)
    except Stale as error:
        return _refused(event, error) if knew_all() else _alone(sheet, event, given, moment)
    except BaybookError as error:
        found = _refused(event, error)
    if found.differences and event.kind in _OF_WHOLE_JOB and not knew_all():
        return Checked([], same=False)
    return found


def _refused(event: Event, error: BaybookError) -> Checked:
    return Checked([Difference(error.code, event.kind, error.message)], same=False)


def _form(sheet: Sheet, event: Event, form: Callable[[Sheet, Event], dict[str, Any]]) -> dict[str, Any]:
    """The form that the page on the phone has sent."""
    about: dict[str, Any] = {"attempt": str(event.attempt), "turn": str(event.turn)}
    if event.step is not None:
        about["step"] = event.step
    return {**about, **form(sheet, event)}


def _alone(sheet: Sheet, event: Event, given: dict[str, Any], moment: Moment) -> Checked:
    """What can be decided without knowing what the phone knew of the step."""
    step = step_of(sheet, event.step or "")
    if step is None or event.kind not in _KNOWS_NOTHING:
        return Checked([], same=False)
    fresh = StepState(attempt=event.attempt, turn=event.turn)
    try:
        _kind, data = RECORDS[given["do"]](step, fresh, given, at_step(sheet, step, moment))
    except BaybookError as error:
        return _refused(event, error)
    return _compared(event, data)


_OF_WHOLE_JOB = frozenset({"troubled", "finished"})
_KNOWS_NOTHING = frozenset({"confirmed", "chosen", "photographed", "resulted", "left-undone"})


def _compared(event: Event, made: dict[str, Any]) -> Checked:
    if event.data == made:
        return Checked([], same=True)
    found = []
    for name in _DECIDED.get(event.kind, ()):
        phone, server = event.data.get(name), made.get(name)
        if (phone or None) != (server or None):  # false, nothing and left out are one
            found.append(Difference(name, phone, server))
    if event.kind == "measured" and (where := _unlike(event.data["result"], made["result"])):
        found.append(Difference(*where))
    return Checked(found, same=False)


def _unlike(phone: Any, server: Any, at: str = "result") -> tuple[str, Any, Any] | None:
    """The first place where two results differ: its path, and what stands there on either side."""
    for place, one, other in _inside(phone, server, at):
        if found := _unlike(one, other, place):
            return found
    alike = _inside(phone, server, at) or _same(phone, server)
    return None if alike else (at, phone, server)


def _inside(phone: Any, server: Any, at: str) -> list[tuple[str, Any, Any]]:
    """What stands at the same places inside two objects, or two lists of one length."""
    if isinstance(phone, dict) and isinstance(server, dict):
        return [(f"{at}.{name}", phone.get(name), server.get(name)) for name in sorted({*phone, *server})]
    if isinstance(phone, list) and isinstance(server, list) and len(phone) == len(server):
        return [(f"{at}[{number}]", *both) for number, both in enumerate(zip(phone, server, strict=True))]
    return []


def _same(phone: Any, server: Any) -> bool:
    if isinstance(phone, float) or isinstance(server, float):
        numbers = all(isinstance(one, int | float) and not isinstance(one, bool) for one in (phone, server))
        return numbers and isclose(phone, server, rel_tol=RELATIVE, abs_tol=RELATIVE)
    return bool(phone == server)


# What of an event's data was decided, and not merely told, by its kind.
_DECIDED: dict[str, tuple[str, ...]] = {
    "confirmed": ("held",),
    "chosen": ("blocked", "held"),
    "scanned": ("verdict", "target", "spot", "holding", "placed", "pair", "complete", "held"),
    "measured": ("verdict", "held"),
    "photographed": ("held",),
    "waited": ("held",),
    "resulted": ("held",),
    "undone": ("steps",),
    "returned": ("steps",),
    "troubled": ("redo", "steps"),
    "finished": ("open",),
}


def _trouble(sheet: Sheet, event: Event) -> dict[str, Any]:
    step = step_of(sheet, event.step or "")
    known = [cause["cause"] for cause in step["causes"]] if step else []
    if "redo" in event.data and event.data["cause"] in known:
        return {"do": "trouble", "cause": str(known.index(event.data["cause"]))}
    return {"do": "trouble", "text": event.data["cause"]}


def _measured(sheet: Sheet, event: Event) -> dict[str, Any]:
    """An instrument of the kit that the event does not name was not read with."""
    step, with_ = step_of(sheet, event.step or ""), event.data.get("instruments", {})
    kinds = kinds_of(step["measure"]) if step and step["kind"] == "measure" else []
    chosen = {f"instrument-{kind}": with_.get(kind, {}).get("code", NONE) for kind in kinds}
    more = {"more": "1"} if event.data["verdict"] == "read-again" else {}
    return {"do": "measure", **event.data["readings"], **chosen, **more}


def _told(do: str, *names: str) -> Callable[[Sheet, Event], dict[str, Any]]:
    return lambda _sheet, event: {"do": do, **{name: event.data.get(name, "") for name in names}}


_FORMS: dict[str, Callable[[Sheet, Event], dict[str, Any]]] = {
    "confirmed": _told("confirm"),
    "chosen": _told("choose", "option"),
    "scanned": _told("scan", "text", "via"),
    "measured": lambda sheet, event: _measured(sheet, event),
    "overruled": _told("overrule", "reason"),
    "photographed": _told("photo", "sha256", "media"),
    "wait-started": _told("start-wait"),
    "waited": _told("wait"),
    "countersigned": _told("countersign"),
    "returned": _told("return", "reason"),
    "resulted": _told("result", "outcome", "code", "text", "reason"),
    "left-undone": _told("leave-undone", "reason"),
    "undone": _told("undo", "reason"),
    "troubled": _trouble,
    "paused": _told("pause", "reason"),
    "resumed": _told("resume"),
    "noted": _told("note", "text"),
    "finished": _told("finish"),
    "abandoned": _told("abandon", "reason"),
}
