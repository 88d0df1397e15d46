"""The record is gathered from sheet, state and events; what was undone or went wrong is in it as well."""

from typing import Any

import pytest

from tests.sheets import APPRENTICE, SUPERVISOR, TECHNICIAN, Hands, checked, every_kind
from webapp.core.record import record

CALIBRATION = {"id": "work", "title": "Forward camera", "because": ["windscreen-replaced"], "added": None}


def sheet(**more: Any) -> dict[str, Any]:
    return every_kind() | {"calibrations": [CALIBRATION]} | more


def recorded(hands: Hands) -> dict[str, Any]:
    return record(hands.sheet, hands.state, hands.events)


@pytest.fixture
def done() -> Hands:
    """A job with every kind of step done, by a technician whom a supervisor signed for."""
    hands = Hands(sheet=sheet(), witness=SUPERVISOR)
    hands.to("sign")
    hands.tap("countersign")
    return hands


def test_a_calibration_that_the_scan_tool_called_done_is_done(done: Hands) -> None:
    (one,) = recorded(done)["calibrations"]
    assert (one["outcome"], one["runs"], one["failures"]) == ("done", 1, 0)
    assert one["because"] == ["windscreen-replaced"]


def test_a_failed_run_is_counted_and_the_last_one_decides() -> None:
    hands = Hands(sheet=sheet())
    hands.to("run")
    hands.tap("result", outcome="failed", code="C1", text="Aim not found")
    (one,) = recorded(hands)["calibrations"]
    assert (one["outcome"], one["detail"], one["runs"], one["failures"]) == ("failed", "Aim not found", 1, 1)
    hands.tap("result", outcome="done")
    (one,) = recorded(hands)["calibrations"]
    assert (one["outcome"], one["runs"], one["failures"]) == ("done", 2, 1)


@pytest.mark.parametrize("do", ["undo", "leave-undone", "abandon"])
def test_a_run_that_was_undone_left_or_never_reached_counts_as_not_run(do: str) -> None:
    hands = Hands(sheet=sheet())
    hands.to("run")
    if do == "undo":
        hands.tap("result", outcome="done")
        hands.tap("undo", step="work/run", attempt="1", reason="Wrong vehicle.")
    else:
        hands.tap(do, reason="The tool is broken.")
    assert recorded(hands)["calibrations"][0]["outcome"] == "not-run"


def test_a_run_that_was_none_carries_its_reason_and_stands_among_what_is_open() -> None:
    hands = Hands(sheet=sheet())
    hands.to("run")
    hands.tap("result", outcome="not-run", reason="No licence for the tool.")
    made = recorded(hands)
    assert (made["calibrations"][0]["outcome"], made["calibrations"][0]["detail"]) == (
        "not-run",
        "No licence for the tool.",
    )
    assert made["open"] == [
        {"step": "work/run", "do": "Do run.", "what": "not-run", "reason": "No licence for the tool."}
    ]


def test_every_scan_is_there_with_how_it_came_and_what_it_placed() -> None:
    hands = Hands(sheet=sheet())
    hands.to("hang")
    hands.tap("scan", text="https://example.org/1", via="photo")
    for text in ("BAY.T.L1.", "BAY.S.SL."):
        hands.tap("scan", text=checked(text))
    wrong, first, second = recorded(hands)["scans"]
    assert (wrong["verdict"], wrong["via"], wrong["placed"]) == ("not-one-of-our-labels", "photo", None)
    assert (first["verdict"], first["via"], first["placed"]) == ("match", "wedge", None)
    assert second["placed"] == {"target": "L1", "spot": "SL"}
    assert wrong["do"] == "Do hang."


def test_each_reading_stands_with_its_parts_and_an_overruled_one_with_who_and_why() -> None:
    hands = Hands(sheet=sheet(), witness=SUPERVISOR)
    hands.to("tyre")
    hands.tap("measure", tyre="290")
    hands.tap("measure", tyre="248")
    hands.tap("overrule", reason="The gauge was checked.")
    outside, close, overruled = recorded(hands)["readings"]
    assert [row["verdict"] for row in (outside, close)] == ["outside", "too-close-to-call"]
    assert (close["part"]["value"], close["part"]["U"], close["part"]["high"]) == (248, 4, 250)
    assert (overruled["overruled"], overruled["by"]) == ("The gauge was checked.", SUPERVISOR.code)


def test_whoever_vouched_for_anything_is_named_with_what_for(done: Hands) -> None:
    done.tap("finish")
    signed = recorded(done)["countersigns"]
    assert [(one["do"], one["by"]) for one in signed] == [("Do sign.", SUPERVISOR.code)]


def test_an_end_with_something_open_is_vouched_for_as_well() -> None:
    hands = Hands(sheet=sheet(), witness=SUPERVISOR)
    hands.tap("leave-undone", reason="No chocks here.")
    hands.to("sign")
    hands.tap("countersign")
    hands.tap("finish")
    made = recorded(hands)
    assert [(one["step"], one["by"]) for one in made["countersigns"]] == [
        ("work/sign", SUPERVISOR.code),
        (None, SUPERVISOR.code),
    ]
    assert [(one["step"], one["reason"]) for one in made["open"]] == [("work/chock", "No chocks here.")]


def test_what_was_undone_noted_or_wrong_is_told_with_its_words() -> None:
    hands = Hands(sheet=sheet())
    hands.to("run")
    hands.tap("note", text="Rain.")
    hands.tap("undo", step="work/chock", attempt="1", reason="Wrong wheel.")
    hands.tap("confirm")
    hands.tap("result", outcome="failed", text="Aim not found")
    hands.tap("trouble", cause="0")
    made = recorded(hands)
    assert [one["text"] for one in made["notes"]] == ["Rain."]
    assert [one["reason"] for one in made["undone"]] == ["Wrong wheel.", "Glare"]
    assert [one["cause"] for one in made["troubles"]] == ["Glare"]


def test_the_steps_are_those_that_stood_with_their_time_and_hand(done: Hands) -> None:
    steps = {one["id"]: one for one in recorded(done)["steps"]}
    assert "work/beam" not in steps  # it stands for another answer only
    assert all(one["status"] == "done" and one["done_by"] == TECHNICIAN.code for one in steps.values())
    assert steps["work/chock"]["worked_s"] == 10


def test_the_time_of_a_record_is_the_time_of_its_job() -> None:
    hands = Hands(sheet=sheet(), person=APPRENTICE, witness=SUPERVISOR)
    hands.sheet["steps"][0]["hold"] = "apprentice"
    hands.tap("confirm")
    hands.tap("countersign", after_s=90)
    hands.tap("pause", reason="parts")
    hands.tap("resume", after_s=600)
    hands.to("sign")
    hands.tap("countersign")
    hands.tap("finish", after_s=25)
    made = recorded(hands)
    assert (made["waited_s"], made["pauses_s"]) == (90, {"parts": 600, "finishing": 25})
    assert made["worked_s"] + made["waited_s"] + sum(made["pauses_s"].values()) == hands.mono_s - 1000


def test_the_people_are_all_who_touched_the_job(done: Hands) -> None:
    done.person = APPRENTICE
    done.tap("note", text="Swept.")
    assert recorded(done)["people"] == sorted([TECHNICIAN.code, APPRENTICE.code])


def test_the_record_states_its_decision_rule(done: Hands) -> None:
    assert recorded(done)["rule"]["coverage"] == 2
    assert "JCGM 106" in recorded(done)["rule"]["edition"]


def test_an_event_of_a_step_that_is_not_on_the_sheet_is_shown_without_a_sentence() -> None:
    hands = Hands(sheet=sheet())
    hands.tap("note", text="Rain.", step="elsewhere/step")
    assert recorded(hands)["notes"][0]["do"] == ""


def test_a_reading_of_an_attempt_that_was_undone_is_told_apart_from_the_one_that_stands() -> None:
    hands = Hands(sheet=sheet())
    hands.to("tyre")
    hands.tap("measure", tyre="240")
    hands.tap("undo", step="work/tyre", attempt="1", reason="Wrong gauge.")
    hands.tap("measure", tyre="241")
    told = [(row["part"]["value"], row["undone"]) for row in recorded(hands)["readings"]]
    assert told == [(240.0, True), (241.0, False)]


def test_each_reading_cites_where_its_limits_come_from_and_the_procedure_where_it_states_them() -> None:
    made = sheet()
    told = next(one for one in made["steps"] if one["kind"] == "measure")
    first, *others = told["measure"]["readings"]
    origin = {"source": "Sheet CH-1", "revision": 2}
    told["measure"] = {
        **told["measure"],
        "readings": [first | {"from": origin}, *(one | {"from": None} for one in others)],
    }
    hands = Hands(sheet=made, witness=SUPERVISOR)
    hands.to("sign")
    rows = [row for row in recorded(hands)["readings"] if row.get("part")]
    assert rows[0]["from"] == origin
    bare = recorded_without_sources()
    assert {row["from"] for row in bare} == {None}, "a sheet of before does not say"


def recorded_without_sources() -> list[dict[str, Any]]:
    hands = Hands(sheet=sheet(), witness=SUPERVISOR)
    hands.to("sign")
    return [row for row in recorded(hands)["readings"] if row.get("part")]
