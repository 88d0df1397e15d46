"""measure: readings in, a verdict out.

Outside means: put it right and measure again. Too close to call means: repeat, or a supervisor decides.
"""

from typing import Any

from ..errors import NotAllowed
from ..events import Event
from ..measure import judged
from ..state import StepState, replace
from .common import Moment, ended, held_after, words
from .countersign import witness_of


def record(step: dict[str, Any], was: StepState, given: dict[str, str], moment: Moment) -> tuple[str, dict[str, Any]]:
    """Raises BadInput where a reading is missing, in another unit or beyond what is physical."""
    measure = step["measure"]
    readings = judged.read_all(measure, given)
    result = judged.judge(measure, [*was.sets, readings])
    data: dict[str, Any] = {"readings": readings, "result": result, "verdict": result["verdict"]}
    if result["verdict"] in judged.SETTLES_STEP:
        data["held"] = held_after(step, moment)
    return "measured", data


def settle(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    readings, verdict = event.data["readings"], event.data["verdict"]
    # Only readings of the same thing in the same place are repeats: what was outside will be moved first.
    sets = (*was.sets, readings) if verdict in judged.ASKS_REPEAT else ()
    changes: dict[str, Any] = {"sets": sets, "measured": {"readings": readings, **event.data["result"]}}
    return ended(was, event, **changes) if verdict in judged.SETTLES_STEP else replace(was, **changes)


def record_overruled(
    _step: dict[str, Any], was: StepState, given: dict[str, str], moment: Moment
) -> tuple[str, dict[str, Any]]:
    """A supervisor lets a reading stand that is too close to call; never one that is outside.

    Raises:
        NotAllowed: `not-too-close`, or the witness is none.
    """
    if was.measured is None or was.measured["verdict"] != "too-close-to-call":
        raise NotAllowed(
            "not-too-close",
            "do",
            "do=overrule: only a reading that is too close to call can be let stand; measure again",
        )
    doer = moment.person.code if moment.person else None
    return "overruled", {
        "reason": words(given, "reason", "why this reading may stand"),
        "by": witness_of(moment, doer).code,
    }


def settle_overruled(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    return replace(
        ended(was, event), overruled_by=event.data["by"], countersigned_by=event.data["by"], reason=event.data["reason"]
    )
