"""measure: readings in, a verdict out.

Outside means: put it right and measure again. Too close to call means: repeat, or a supervisor decides.
"""

from typing import Any

from ..errors import NotAllowed
from ..events import Event
from ..measure import judged
from ..measure.equip import equipped, taken
from ..measure.verdicts import ASKS_REPEAT, RULE, SETTLES_STEP
from ..state import StepState, replace
from .common import Moment, ended, held_after, words
from .countersign import witness_of


def record(step: dict[str, Any], was: StepState, given: dict[str, str], moment: Moment) -> tuple[str, dict[str, Any]]:
    """With `more` the readings are kept for the mean, and another reading of the same thing is asked for.

    Raises BadInput where a reading is missing, in another unit or beyond what is physical, or an instrument is unfit.
    """
    measure = step["measure"]
    readings = judged.read_all(measure, given)
    instruments = taken(measure, moment.kit, moment.today, given)
    result = judged.judge(equipped(measure, instruments), [*was.sets, readings])
    if given.get("more") and measure["method"] in judged.REPEATABLE:
        result["verdict"] = "read-again"
    data: dict[str, Any] = {"readings": readings, "result": result, "verdict": result["verdict"], "rule": RULE}
    if instruments:
        data["instruments"] = instruments
    if result["verdict"] in SETTLES_STEP:
        data["held"] = held_after(step, moment)
    return "measured", data


def settle(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    readings, verdict = event.data["readings"], event.data["verdict"]
    # Only readings of the same thing in the same place are repeats: what was outside will be moved first.
    sets = (*was.sets, readings) if verdict in ASKS_REPEAT else ()
    measured = {"readings": readings, "instruments": event.data.get("instruments", {}), **event.data["result"]}
    changes: dict[str, Any] = {"sets": sets, "measured": measured}
    return ended(was, event, **changes) if verdict in SETTLES_STEP else replace(was, **changes)


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
