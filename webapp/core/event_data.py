"""What must stand in the data of each kind of event, so that whatever the journal takes can be folded and shown.

The server's own events are right by making. A phone's come over the network, and one that cannot be folded would take
the job's every page along with it.
"""

import re
from collections.abc import Callable
from typing import Any

from .errors import BadInput, shown
from .events import Event
from .kinds.result import OUTCOMES
from .kinds.scan import VIAS
from .measure.verdicts import WORST_FIRST
from .state import PAUSES

LARGEST = 2**53 - 1
"""The largest whole number that every language along the way holds exactly."""

Fits = Callable[[Any], bool]
Rule = tuple[Fits, str]


def require(event: Event) -> None:
    """Raise BadInput (`event-data`, the field by its path) where the data are not those of such an event."""
    for name in ("seq", "attempt", "turn", "round"):
        if getattr(event, name) > LARGEST:
            raise BadInput("event-data", name, f"{name}={shown(getattr(event, name))} must be at most {LARGEST}")
    for name, (fits, what) in RULES[event.kind].items():
        needed = not name.endswith("?")
        name = name.removesuffix("?")
        if (name not in event.data and needed) or (name in event.data and not fits(event.data[name])):
            said = shown(event.data[name]) if name in event.data else "missing"
            raise BadInput("event-data", f"data.{name}", f"data.{name}={said}: in '{event.kind}' it must be {what}")


def _text(value: Any) -> bool:
    return isinstance(value, str)


def _number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) <= LARGEST


def _one_of(*values: str) -> Rule:
    return (lambda value: isinstance(value, str) and value in values), f"one of {', '.join(values)}"


def _or_none(rule: Rule) -> Rule:
    return (lambda value: value is None or rule[0](value)), f"{rule[1]} or null"


def _list_of(rule: Rule) -> Rule:
    return (lambda value: isinstance(value, list) and all(map(rule[0], value))), f"a list, each {rule[1]}"


def _object(**rules: Rule) -> Rule:
    def fits(value: Any) -> bool:
        return isinstance(value, dict) and all(name in value and rule[0](value[name]) for name, rule in rules.items())

    return fits, f"an object with {', '.join(rules)}" if rules else "an object"


TEXT: Rule = (_text, "text")
FLAG: Rule = ((lambda value: isinstance(value, bool)), "true or false")
COUNT: Rule = (
    (lambda value: isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= 10_000),
    "a count",
)
NUMBER: Rule = (_number, "a number")
SHA256: Rule = ((lambda value: _text(value) and bool(re.fullmatch("[0-9a-f]{64}", value))), "a SHA-256 in hexadecimal")
NUMBERS: Rule = ((lambda value: isinstance(value, dict) and all(map(_number, value.values()))), "numbers by name")
PART = _object(
    name=TEXT, label=TEXT, unit=TEXT, value=NUMBER, U=NUMBER, low=_or_none(NUMBER), high=_or_none(NUMBER), verdict=TEXT
)
ANSWER = _object(asked=TEXT, text=TEXT)
"""What was asked of a supervisor's phone and what it answered, as `core.vouching` reads them."""
HELD = {"held?": _or_none(FLAG)}

RULES: dict[str, dict[str, Rule]] = {
    "started": {"sheet": TEXT},
    "confirmed": HELD,
    "chosen": {"option": TEXT, "blocked?": FLAG, **HELD},
    "scanned": {
        "text": TEXT,
        "via": _one_of(*VIAS),
        "verdict": TEXT,
        "target": _or_none(TEXT),
        "spot": _or_none(TEXT),
        "holding": _or_none(TEXT),
        "next": _object(do=TEXT),
        "in_hand": _or_none(TEXT),
        "placed?": _or_none(_object(target=_or_none(TEXT), spot=_or_none(TEXT))),
        "pair?": COUNT,
        "complete?": FLAG,
        **HELD,
    },
    "measured": {
        "readings": NUMBERS,
        "result": _object(method=TEXT, verdict=TEXT, parts=_list_of(PART)),
        "verdict": _one_of(*WORST_FIRST),
        "instruments?": _object(),
        "rule?": _object(),
        **HELD,
    },
    "overruled": {"reason": TEXT, "by": TEXT},
    "photographed": {"sha256": SHA256, "media": _one_of("image/jpeg"), **HELD},
    "wait-started": {},
    "waited": HELD,
    "countersigned": {"by": TEXT, "answer?": ANSWER},
    "returned": {"steps": _list_of(TEXT), "reason": TEXT, "by": TEXT, "answer?": ANSWER},
    "resulted": {"outcome": _one_of(*OUTCOMES), "code": TEXT, "text": TEXT, "reason": TEXT, **HELD},
    "left-undone": {"reason": TEXT},
    "undone": {"steps": _list_of(TEXT), "reason": TEXT},
    "troubled": {"cause": TEXT, "redo?": _or_none(TEXT), "steps?": _list_of(TEXT)},
    "paused": {"reason": _one_of(*PAUSES)},
    "resumed": {},
    "noted": {"text": TEXT},
    "finished": {"open": _list_of(TEXT), "by?": TEXT},
    "abandoned": {"reason": TEXT},
}
