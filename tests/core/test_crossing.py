"""What two phones did unheard of each other is told to whoever opens the job."""

from dataclasses import replace

from tests.sheets import Hands
from webapp.core.act import Draft
from webapp.core.crossing import crossings
from webapp.core.events import Event


def undone_elsewhere(at: Hands) -> Event:
    """Another phone opens the first step again; the one at hand has not heard of it."""
    step = at.state.step("work/chock")
    draft = Draft("undone", "work/chock", step.attempt, step.turn, {"steps": ["work/chock"], "reason": "Rolled away."})
    event = at.keep(draft)
    return replace(event, id="elsewhere", device="a", seq=1, round=1)


def worked_through() -> Hands:
    at = Hands()
    at.to("sign")
    at.keep(Draft("countersigned", "work/sign", 1, 0, {"by": "CCC333"}))
    at.events = [replace(one, round=1) for one in at.events]
    return at


def test_a_job_finished_unheard_of_a_step_opened_again_is_told() -> None:
    at = worked_through()
    events = list(at.events)
    other = undone_elsewhere(at)
    finished = replace(at.keep(Draft("finished", None, 1, 0, {"open": []})), round=2)
    (found,) = crossings(at.sheet, [*events, replace(other, round=2), finished])
    assert (found.why, found.step, found.event, found.other.id) == ("ended-open", "work/chock", finished, "elsewhere")


def test_a_job_finished_with_all_of_it_done_is_not() -> None:
    at = worked_through()
    finished = at.keep(Draft("finished", None, 1, 0, {"open": []}))
    assert crossings(at.sheet, [*at.events[:-1], replace(finished, round=2)]) == []
