"""Which instruments a step's readings are taken with: the shop's own, as the kit's page states them, where it has any.

An instrument is an item of the kit with its ``accuracy``. A form names one by its code; where it says nothing, the
first that is fit for use stands; `none` means one that is not in the kit, and then the usual figures count.
"""

from collections.abc import Mapping
from typing import Any

from ..errors import BadInput, shown
from ..kit import Kit, name_of, trouble

NONE = "none"
TAPE = "tape"
Measure = Mapping[str, Any]


def kinds_of(measure: Measure) -> list[str]:
    """The kinds of instrument that the step asks for, in the order of its readings; four lengths are read by tape."""
    if measure["method"] == "square":
        return [TAPE]
    return list(dict.fromkeys(one["instrument"] for one in measure.get("readings", []) if one["instrument"]))


def instruments_in(kit: Kit, kind: str) -> list[str]:
    """The codes of the shop's instruments of a kind, sorted."""
    return [code for code in sorted(kit) if kit[code].get("is") == kind and kit[code].get("accuracy")]


def fit_for_use(kit: Kit, kind: str, today: str) -> list[str]:
    return [code for code in instruments_in(kit, kind) if not trouble(code, kit, today)]


def taken(measure: Measure, kit: Kit, today: str, given: Mapping[str, str]) -> dict[str, dict[str, Any]]:
    """What is read with, by kind: {code, name, due, accuracy}. A kind of which the shop has none is left out.

    Raises BadInput (`instrument-unknown`, `instrument-out-of-service`), naming the field `instrument-KIND`.
    """
    found = {}
    for kind in kinds_of(measure):
        field, there = f"instrument-{kind}", instruments_in(kit, kind)
        code = given.get(field, "") or next((one for one in there if not trouble(one, kit, today)), NONE)
        if code == NONE:
            continue
        if code not in there:
            message = f"{field}={shown(code)} is no {kind} of the shop's kit; choose one of the list"
            raise BadInput("instrument-unknown", field, message)
        if wrong := trouble(code, kit, today):
            message = f"{field}={shown(code)} must not be used, since it is {wrong}; choose another one"
            raise BadInput("instrument-out-of-service", field, message)
        due, accuracy = kit[code].get("inspection_due"), kit[code]["accuracy"]
        found[kind] = {"code": code, "name": name_of(code, kit), "due": due, "accuracy": accuracy}
    return found


def equipped(measure: Measure, instruments: Mapping[str, Any]) -> Measure:
    """The measurement with the instrument of each reading in it, as `by`; with its own where one reads them all."""
    if not instruments:
        return measure
    if measure["method"] == "square":
        return {**measure, "by": instruments[TAPE]}
    readings = [{**one, "by": instruments.get(one["instrument"] or "")} for one in measure["readings"]]
    return {**measure, "readings": readings}
