"""A journal file folds to the state that the pages show; a damaged one is named by its line."""

import json
from dataclasses import asdict

import pytest

from tests.sheets import SUPERVISOR, Hands
from webapp.core.errors import BadInput
from webapp.core.replay import journal_lines, replay_lines


@pytest.fixture
def lines() -> list[str]:
    """A job with every kind of step done, one of them twice, a pause and a note."""
    hands = Hands(witness=SUPERVISOR)
    hands.to("tyre")
    hands.tap("measure", tyre="248")
    hands.tap("measure", tyre="240")
    hands.tap("pause", reason="parts")
    hands.tap("resume", after_s=600)
    hands.tap("note", text="The gauge was dropped.")
    hands.to("sign")
    hands.tap("countersign")
    hands.tap("undo", step="work/chock", attempt="1", reason="Wrong wheel.")
    hands.tap("confirm")
    hands.tap("finish")
    return list(journal_lines(hands.sheet, hands.events))


def test_a_journal_file_folds_to_the_very_state_of_its_job() -> None:
    hands = Hands(witness=SUPERVISOR)
    hands.to("run")
    assert replay_lines(journal_lines(hands.sheet, hands.events)) == asdict(hands.state)


def test_the_state_is_json_to_its_last_corner(lines: list[str]) -> None:
    state = replay_lines(lines)
    assert json.loads(json.dumps(state, allow_nan=False))["phase"] == "finished"
    assert state["steps"]["work/chock"]["undone"] == 1
    assert state["pauses_s"]["parts"] == 600
    assert state["notes"][0]["text"] == "The gauge was dropped."


def test_blank_lines_and_a_last_line_end_change_nothing(lines: list[str]) -> None:
    spread = [line for one in lines for line in (one + "\n", "\n", "   \n")]
    assert replay_lines(spread) == replay_lines(lines)


def test_a_journal_cut_short_gives_the_state_up_to_there(lines: list[str]) -> None:
    assert replay_lines(lines[:1])["current"] == "work/chock"
    assert replay_lines(lines[:3])["current"] == "work/placing"


@pytest.mark.parametrize(
    ("broken", "code", "message"),
    [
        ([], "sheet-missing", 'the first line must be {"sheet": {…}}'),
        (["{}"], "sheet-missing", "line 1 has no sheet"),
        (['{"sheet": []}'], "sheet-missing", "line 1 has no sheet"),
        (['{"sheet": {}}'], "sheet-damaged", "line 1 was not written by Baybook"),
        (['{"sheet": {"steps": [{}]}}'], "sheet-damaged", "line 1 was not written by Baybook"),
        (["nonsense"], "line-not-json", "line 1='nonsense' is not JSON"),
        (["[1, 2]"], "line-not-json", "line 1='[1, 2]' must be a JSON object"),
    ],
)
def test_a_file_without_a_sheet_is_refused(broken: list[str], code: str, message: str) -> None:
    with pytest.raises(BadInput) as refused:
        replay_lines(broken)
    assert (refused.value.code, refused.value.field) == (code, "line 1")
    assert message in refused.value.message


@pytest.mark.parametrize(
    ("change", "code", "field"),
    [
        ({"kind": "exploded"}, "event-kind", "line 2.kind"),
        ({"seq": "two"}, "event-type", "line 2.seq"),
        ({"speed": 3}, "event-fields", "line 2.speed"),
        ({"kind": "chosen", "step": "work/placing", "data": {}}, "event-damaged", "line 2"),
        ({"kind": "measured", "step": "work/tyre", "data": {"readings": 1}}, "event-damaged", "line 2"),
        ({"kind": "scanned", "step": "work/hang", "data": {"verdict": "match"}}, "event-damaged", "line 2"),
        ({"kind": "paused", "step": None, "data": {}}, "event-damaged", "line 2"),
    ],
)
def test_a_damaged_event_is_named_by_its_line(
    lines: list[str], change: dict[str, object], code: str, field: str
) -> None:
    damaged = json.dumps(json.loads(lines[1]) | change)
    with pytest.raises(BadInput) as refused:
        replay_lines([lines[0], damaged])
    assert (refused.value.code, refused.value.field) == (code, field)
    assert refused.value.message.startswith("line 2")


def test_an_event_of_a_step_that_the_sheet_has_not_changes_nothing_but_the_clock(lines: list[str]) -> None:
    stranger = json.dumps(json.loads(lines[2]) | {"step": "elsewhere/step"})
    state = replay_lines([*lines[:2], stranger])
    assert state["current"] == "work/chock"
    assert state["count"] == 2
