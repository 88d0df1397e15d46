"""How long a job took, as a shop tells it to head office: each calibration, and each step and pause."""

from collections.abc import Mapping
from typing import Any

from .errors import BadInput, shown
from .fields import Fields
from .measure.reading import Range

SECONDS = Range("s", 0, 1e9)
TIMES = ("calibration", "own_s", "shared_s", "waited_s", "outcome", "first_time_pass", "estimated")
ABOUT = ("vehicle", "bay", "placing")
REVISION = "revision"
STEP = ("step", "calibration", "serves", "seconds", "waited_s", "attempts", "wrong_scans")
MOST_STEPS, MOST_REASONS = 5000, 50


def time_of(fields: Fields) -> dict[str, Any]:
    """How long one calibration took, as the shop worked it out. Raises BadInput naming the field."""
    flags = {name: fields.get(name) for name in ("first_time_pass", "estimated")}
    for name, value in flags.items():
        if not isinstance(value, bool) and not (value is None and name == "first_time_pass"):
            raise BadInput("not-yes-or-no", fields.at(name), f"{fields.at(name)}={shown(value)} must be true or false")
    seconds = {name: fields.number(name, SECONDS) for name in ("own_s", "shared_s", "waited_s")}
    words: dict[str, str | None] = {name: fields.text_or_none(name) for name in ABOUT}
    named = {name: fields.text_or_none(name) or "" for name in ("calibration", "outcome")}
    revision = None if fields.get(REVISION) is None else whole(fields, REVISION, 2**31)
    return storable(fields, {**words, **named}) | seconds | flags | {REVISION: revision}


def spent_of(fields: Fields) -> dict[str, Any]:
    """Where a job's time went: its steps, and its pauses by reason. Raises BadInput naming the field."""
    given = fields.get("pauses_s")
    pauses = fields.inner("pauses_s", [], list(given) if isinstance(given, Mapping) else ())
    if len(pauses.given) > MOST_REASONS:
        what = f"{fields.at('pauses_s')} has {len(pauses.given)} reasons; there are at most {MOST_REASONS}"
        raise BadInput("bundle-format", fields.at("pauses_s"), what)
    reasons = dict(storable(fields, {str(one): str(one) for one in pauses.given}))
    return {
        "steps": [_step(one) for one in fields.each("steps", MOST_STEPS, STEP)],
        "pauses_s": {name: pauses.number(name, SECONDS) for name in reasons},
    }


def _step(fields: Fields) -> dict[str, Any]:
    serves = fields.texts_or_none("serves") or []
    storable(fields, dict.fromkeys(["serves"], "".join(serves)))
    names = {"step": fields.text_or_none("step") or "", "calibration": fields.text_or_none("calibration")}
    seconds = {name: fields.number(name, SECONDS) for name in ("seconds", "waited_s")}
    counts = {name: whole(fields, name) for name in ("attempts", "wrong_scans")}
    return storable(fields, names) | {"serves": serves} | seconds | counts


def whole(fields: Fields, name: str, below: int = 2**53) -> int:
    value = fields.get(name)
    if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value < below:
        raise BadInput("not-a-number", fields.at(name), f"{fields.at(name)}={shown(value)} must be a whole number")
    return value


def storable(fields: Fields, texts: Mapping[str, str | None]) -> dict[str, Any]:
    """The same texts: no database keeps the character 0 in one. Raises BadInput (`bundle-format`)."""
    for name, value in texts.items():
        if value and "\x00" in value:
            raise BadInput("bundle-format", fields.at(name), f"{fields.at(name)} holds the character 0; leave it out")
    return dict(texts)
