"""What whoever opens a job should look at: where two phones crossed, and where the server decided otherwise."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ..crossing import Shown
from ..events import Event
from ..fold import step_of
from ..lengths import MM
from ..measure import judged
from ..sheet import Say, Sheet, canonical
from .figures import as_read

LONGEST_TOLD = 200
DIFFERENCES = ("answer", "answer-waits", "chain", "pin", "sheet-made", "sign-in")
"""Differences that have a sentence of their own; the others name what was decided."""


def apart_view(sheet: Sheet, found: Sequence[Shown], names: Mapping[str, str], say: Say) -> dict[str, Any]:
    """`apart` for a job's page, or nothing where there is nothing to look at. `names` are those behind the badges."""
    if not found:
        return {}
    return {
        "apart": {
            "count": say("apart-count", count=len(found)),
            "list": [_one(sheet, one, names, say) for one in found],
        }
    }


def _one(sheet: Sheet, one: Shown, names: Mapping[str, str], say: Say) -> dict[str, Any]:
    step = step_of(sheet, one.event.step or "")
    about = {"step": step["do"] if step else ""}
    if one.other:
        told = [_done(sheet, event, names, say) for event in (one.other, one.event)]
        return about | {"title": say(f"apart-{one.what}"), "told": told}
    title = say(f"apart-{one.what}") if one.what in DIFFERENCES else say("apart-decided", what=one.what)
    sides = [
        {"by": say(f"apart-by-{side}"), "what": _said(value)}
        for side, value in (("phone", one.phone), ("server", one.server))
    ]
    return about | {"title": title, "told": sides}


def _done(sheet: Sheet, event: Event, names: Mapping[str, str], say: Say) -> dict[str, str]:
    """Who did what: a reading's figures, an answer, a label, or the word for such an event."""
    step = step_of(sheet, event.step or "")
    detail = _DETAILS[event.kind](step, event.data, say) if step and event.kind in _DETAILS else ""
    by = names.get(event.person or "") or event.person or say("apart-by-nobody")
    return {"by": by, "what": say("apart-did", what=say(f"apart-did-{event.kind}"), detail=detail or "none")}


def _readings(step: dict[str, Any], data: dict[str, Any], say: Say) -> str:
    measure, known = step["measure"], judged.fields(step["measure"])
    labels = {name: label or say(f"reading-{name}") for name, label, _range in known}
    units = {name: allowed.unit for name, _label, allowed in known}
    figures = [
        f"{labels.get(name, name)} {say('as-it-is', text=as_read(value, units.get(name, ''), measure.get('unit', MM)))}"
        for name, value in sorted(data["readings"].items())
    ]
    return "; ".join([*figures, say(f"verdict-{data['verdict']}")])


def _answer(step: dict[str, Any], data: dict[str, Any], _say: Say) -> str:
    return str(next((one["label"] for one in step["options"] if one["value"] == data["option"]), data["option"]))


_DETAILS: dict[str, Callable[[dict[str, Any], dict[str, Any], Say], str]] = {
    "measured": _readings,
    "chosen": _answer,
    "scanned": lambda _step, data, _say: str(data["text"])[:LONGEST_TOLD],
    "resulted": lambda _step, data, say: say(f"outcome-{data['outcome']}"),
}


def _said(value: Any) -> str:
    text = value if isinstance(value, str) else canonical(value)
    return text[:LONGEST_TOLD]
