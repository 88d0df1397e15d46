"""The record of a job, gathered from its sheet, its state and its events: what was done, by whom, with what, how
surely, and what not.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from .events import Event
from .fold import applies
from .measure.verdicts import RULE
from .sheet import Sheet
from .sofar import left_open
from .state import JobState

Row = dict[str, Any]


def record(sheet: Sheet, state: JobState, events: Iterable[Event]) -> dict[str, Any]:
    """Everything the record page shows, in its order.

    People are badge codes, times seconds, instants as in the journal.
    """
    told = list(events)
    return {
        "calibrations": [_calibration(sheet, state, told, one) for one in sheet["calibrations"]],
        "struck": sheet["struck"],
        "scans": [_scan(sheet, event) | _standing(state, event) for event in told if event.kind == "scanned"],
        "readings": [
            row | _standing(state, event)
            for event in told
            if event.kind in ("measured", "overruled")
            for row in _readings(sheet, event)
        ],
        "photos": [
            _row(sheet, event) | {"sha256": event.data["sha256"]} for event in told if event.kind == "photographed"
        ],
        "countersigns": [
            _row(sheet, event) | {"by": event.data["by"]}
            for event in told
            if "by" in event.data and event.kind != "returned"
        ],
        "results": [_row(sheet, event) | event.data for event in told if event.kind == "resulted"],
        "undone": [_row(sheet, event) | {"reason": _why(event)} for event in told if event.data.get("steps")],
        "troubles": [_row(sheet, event) | {"cause": event.data["cause"]} for event in told if event.kind == "troubled"],
        "notes": [_row(sheet, event) | {"text": event.data["text"]} for event in told if event.kind == "noted"],
        "answers": [_answer(sheet, event) for event in told if event.kind == "chosen"],
        "open": left_open(sheet, state),
        "steps": [_step(step, state) for step in sheet["steps"] if applies(step, state.answers)],
        "people": sorted({event.person for event in told if event.person}),
        "worked_s": sum(one.worked_s for one in state.steps.values()),
        "waited_s": sum(one.waited_s for one in state.steps.values()),
        "pauses_s": state.pauses_s,
        "rule": RULE,
    }


def _sentences(sheet: Sheet) -> Mapping[str, Mapping[str, Any]]:
    return {step["id"]: step for step in sheet["steps"]}


def _row(sheet: Sheet, event: Event) -> Row:
    step = _sentences(sheet).get(event.step or "", {})
    return {"at": event.at, "person": event.person, "step": event.step, "do": step.get("do", "")}


def _standing(state: JobState, event: Event) -> Row:
    """Whether what was read still stands, or belongs to an attempt that was undone later."""
    return {"undone": event.attempt < state.step(event.step or "").attempt}


def _why(event: Event) -> str:
    return str(event.data.get("reason") or event.data.get("cause") or "")


def _calibration(sheet: Sheet, state: JobState, told: list[Event], one: Row) -> Row:
    """The scan tool's outcome: the last one that was entered and not undone; none where the job ended before."""
    steps = [step["id"] for step in sheet["steps"] if step["section"] == one["id"] and step["kind"] == "result"]
    outcomes = [outcome for name in steps if (outcome := state.step(name).outcome)]
    runs = [event for event in told if event.kind == "resulted" and event.step in steps]
    last = outcomes[-1] if outcomes else None
    return one | {
        "outcome": last["outcome"] if last else "not-run",
        "detail": (last["reason"] or last["text"] or last["code"]) if last else "",
        "runs": len(runs),
        "failures": sum(1 for event in runs if event.data["outcome"] == "failed"),
    }


def _scan(sheet: Sheet, event: Event) -> Row:
    return _row(sheet, event) | {key: event.data.get(key) for key in ("text", "via", "verdict", "placed")}


def _readings(sheet: Sheet, event: Event) -> list[Row]:
    row = _row(sheet, event)
    if event.kind == "overruled":
        return [row | {"overruled": event.data["reason"], "by": event.data["by"]}]
    parts = event.data["result"]["parts"]
    misfit = event.data["result"].get("misfit")
    row |= {"rule": event.data.get("rule", RULE)}
    origins = _origins(sheet, event)
    if event.data["verdict"] == "read-again":
        return [
            row | {"part": part, "misfit": misfit, "verdict": "read-again", "from": origins(part)} for part in parts
        ]
    if not parts:
        return [row | {"part": None, "misfit": misfit, "verdict": event.data["verdict"]}]
    return [row | {"part": part, "misfit": misfit, "verdict": part["verdict"], "from": origins(part)} for part in parts]


def _origins(sheet: Sheet, event: Event) -> Callable[[Row], Row | None]:
    """Where a part's limits come from: {"source", "revision"}, the procedure and its own where it states them itself.

    None where there are no limits, or where the sheet is one of before and does not say.
    """
    step = _sentences(sheet).get(event.step or "", {})
    measure = step.get("measure", {})
    known = dict(measure.get("from", {}))
    known |= {one["name"]: one["from"] for one in measure.get("readings", []) if "from" in one}
    known |= {"-".join(one["of"]): one["from"] for one in measure.get("compare", []) if "from" in one}
    section = next((one for one in sheet["sections"] if one["id"] == step.get("section")), None)
    own = {"source": section["title"], "revision": section["revision"]} if section else None

    def origin(part: Row) -> Row | None:
        if part["name"] not in known or (part["low"] is None and part["high"] is None):
            return None
        return known[part["name"]] or own

    return origin


def _answer(sheet: Sheet, event: Event) -> Row:
    options = _sentences(sheet).get(event.step or "", {}).get("options", [])
    label = next((one["label"] for one in options if one["value"] == event.data["option"]), event.data["option"])
    return _row(sheet, event) | {"option": label, "blocked": bool(event.data.get("blocked"))}


def _step(step: Row, state: JobState) -> Row:
    was = state.step(step["id"])
    return {
        "id": step["id"],
        "section": step["section"],
        "do": step["do"],
        "status": was.status,
        "reason": was.reason,
        "worked_s": was.worked_s,
        "estimated": was.estimated,
        "undone": was.undone,
        "done_at": was.done_at,
        "done_by": was.done_by,
        "countersigned_by": was.countersigned_by,
    }
