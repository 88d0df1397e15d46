"""What was recorded at a step that waits for a supervisor, as one text; and whether it still stands as it was asked."""

from .errors import Stale
from .events import compact
from .numbers import number
from .sheet import Sheet
from .sofar import doer_of, done_before
from .state import JobState
from .vouching import Ask


def standing(sheet: Sheet, state: JobState, name: str) -> str:
    """What is vouched for at a step that waits, as one text: whose it is, since when, what was answered and read."""
    held = state.step(name).status == "held"
    of = name if held else done_before(sheet, state, name) or ""
    was = state.step(of)
    measured, outcome = was.measured or {}, was.outcome or {}
    read = [[one, number(value)] for one, value in sorted(measured.get("readings", {}).items())]
    return compact(
        [
            *(name, state.step(name).attempt, state.step(name).turn, of, was.attempt, was.done_by, was.done_at),
            *(was.option, read, measured.get("verdict"), was.overruled_by, list(was.photos)),
            *(
                [[one.get("target"), one.get("spot")] for one in was.placed],
                outcome.get("outcome"),
                outcome.get("text"),
            ),
        ]
    )


def need_asked(ask: Ask, sheet: Sheet, state: JobState, stands: str) -> None:
    """Raise Stale (`ask-old`) where the step does not wait any more as it did when it was asked."""
    doer = doer_of(sheet, state, ask.step)
    if (ask.job, ask.step, ask.stands, ask.doer) != (sheet["job"]["id"], state.current, stands, doer):
        message = (
            "answer: the step is not as it was when this was asked; show its code again and have it looked at anew"
        )
        raise Stale("ask-old", "answer", message)
