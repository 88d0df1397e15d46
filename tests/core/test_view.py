"""state -> what a page's template needs: plain JSON, words from the messages, figures as people read them."""

import json
from dataclasses import replace
from typing import Any

import pytest

from tests.sheets import APPRENTICE, SUPERVISOR, Hands, checked, every_kind, pair, step
from webapp.core import view
from webapp.core.view.figures import clock, digits_for, figure, trimmed
from webapp.core.view.typed import typed
from webapp.messages import say

KINDS = {
    "chock": "confirm",
    "placing": "choose",
    "hang": "scan",
    "tyre": "measure",
    "picture": "photo",
    "settle": "wait",
    "run": "result",
    "sign": "countersign",
}


def page(hands: Hands, **more: Any) -> dict[str, Any]:
    """The page of the step at hand, five seconds after the last tap; plain JSON, or the test fails."""
    now = replace(hands.clock(), mono_s=hands.mono_s + 5)
    shown = view.job_page(hands.sheet, hands.state, now, say, **more)
    return json.loads(json.dumps(shown, allow_nan=False)) | {}


def at(name: str, **more: Any) -> Hands:
    hands = Hands(**more)
    hands.to(name)
    return hands


# --- around the step


def test_the_frame_says_which_job_and_how_far_it_has_come() -> None:
    shown = page(at("hang"))
    assert (shown["job"], shown["url"], shown["order"], shown["vehicle"]) == (
        "job-1",
        "/jobs/job-1",
        "RO 1",
        "Orvane Wagon",
    )
    assert (shown["settled"], shown["of"], shown["line"]) == (2, 8, 25)
    assert shown["line_says"] == "2 of 8 steps settled. Open the list of steps."


def test_steps_of_another_answer_are_not_counted() -> None:
    hands = Hands()
    hands.tap("confirm")
    hands.tap("choose", option="laser")
    assert page(hands)["of"] == 9
    assert page(hands)["step"]["id"] == "work/beam"


def test_shared_set_up_says_for_how_many_calibrations_it_is() -> None:
    hands = Hands()
    hands.sheet["sections"][0] |= {"sort": "set-up", "calibrations": ["a", "b"]}
    assert page(hands)["section"] == "Work · for both calibrations"
    hands.sheet["sections"][0]["calibrations"].append("c")
    assert page(hands)["section"] == "Work · for all 3 calibrations"
    hands.sheet["sections"][0]["calibrations"] = ["a"]
    assert page(hands)["section"] == "Work"


@pytest.mark.parametrize(("name", "kind"), KINDS.items())
def test_a_step_shows_its_kind_and_nothing_of_another(name: str, kind: str) -> None:
    shown = page(at(name))["step"]
    assert (shown["id"], shown["kind"], shown["do"]) == (f"work/{name}", kind, f"Do {name}.")
    assert [one for one in KINDS.values() if one in shown] == [kind]
    assert {"attempt", "turn", "why", "mistakes", "cautions", "drawing"} <= shown.keys()


def test_a_step_counts_and_names_its_neighbours() -> None:
    shown = page(at("placing"))["step"]
    assert (shown["count"], shown["previous"], shown["next"]) == ("Step 2 of 8", "work/chock", "Next: Do hang.")
    assert page(Hands())["step"]["previous"] is None
    assert page(at("sign"))["step"]["next"] is None


def test_the_time_at_a_step_runs_on_from_what_it_took_before() -> None:
    hands = at("tyre")
    hands.tap("measure", after_s=100, tyre="290")
    shown = page(hands)["step"]
    assert (shown["elapsed_s"], shown["elapsed"]) == (105, "1:45")


def test_a_step_done_anew_says_so_and_its_forms_carry_the_new_attempt() -> None:
    hands = at("tyre")
    hands.tap("undo", step="work/chock", attempt="1", reason="Wrong wheel.")
    shown = page(hands)["step"]
    assert (shown["again"], shown["attempt"], shown["turn"]) == (True, 2, 0)


# --- each kind


def test_a_confirm_step_has_its_own_word_on_the_button_or_the_usual_one() -> None:
    assert page(Hands())["step"]["confirm"]["button"] == "Chocked"
    hands = Hands()
    hands.sheet["steps"][0]["button"] = None
    assert page(hands)["step"]["confirm"]["button"] == "Done"


def test_an_answer_that_blocks_shows_what_is_to_be_put_right() -> None:
    hands = at("placing")
    assert page(hands)["step"]["choose"]["blocked"] is None
    hands.tap("choose", option="none")
    assert page(hands)["step"]["choose"]["blocked"] == "Get a tape first."


def test_a_scan_step_lists_its_pairs_and_what_is_in_the_hand() -> None:
    hands = at("hang")
    hands.tap("scan", text=checked("BAY.T.L1."))
    scan = page(hands)["step"]["scan"]
    assert scan["holding"] == "In hand: Board left"
    assert (scan["last"]["title"], scan["last"]["shape"]) == ("Match", "●")
    assert scan["last"]["text"] == "Board left is the right one. Now scan its spot: arm-left."
    hands.tap("scan", text=checked("BAY.S.SL."))
    scan = page(hands)["step"]["scan"]
    assert [(one["done"], one["status"]) for one in scan["pairs"]] == [(True, "placed"), (False, "waiting")]
    assert scan["holding"] is None


def test_a_scan_of_targets_alone_needs_no_column_for_spots() -> None:
    hands = at("hang")
    hands.sheet["steps"][3]["pairs"] = [pair("board-left", "arm-left") | {"spot": None, "spot_name": None}]
    assert page(hands)["step"]["scan"]["many"] is False


@pytest.mark.parametrize(
    ("text", "title", "shape"),
    [
        ("https://example.org/1", "Not one of our labels", "⊗"),
        ("BAY.T.L1.0", "Unreadable", "⊗"),
        (checked("BAY.T.L1."), "Match", "●"),
    ],
)
def test_a_verdict_is_a_word_with_a_shape(text: str, title: str, shape: str) -> None:
    hands = at("hang")
    hands.tap("scan", text=text)
    last = page(hands)["step"]["scan"]["last"]
    assert (last["title"], last["shape"]) == (title, shape)
    assert last["text"]


def test_readings_ask_with_unit_and_limits_and_are_judged_with_shape_and_figures() -> None:
    hands = at("tyre")
    (field,) = page(hands)["step"]["measure"]["fields"]
    assert (field["name"], field["label"], field["unit"], field["wanted"]) == ("tyre", "Tyre", "kPa", "230 to 250 kPa")
    hands.tap("measure", tyre="290")
    measure = page(hands)["step"]["measure"]
    assert measure["asks"] is False
    judged = measure["judged"]
    assert (judged["title"], judged["shape"], judged["class"]) == ("Outside", "⊗", "outside")
    (part,) = judged["parts"]
    assert (part["value"], part["U"], part["unit"], part["limits"]) == ("290.0", "4.0", "kPa", "230 to 250 kPa")
    assert measure["again"] == "Put right: measure again"
    assert measure["may_overrule"] is False
    assert page(hands, again=True)["step"]["measure"]["asks"] is True


def test_a_reading_too_close_says_what_a_repeat_would_do_and_lets_a_supervisor_decide() -> None:
    hands = at("tyre")
    hands.tap("measure", tyre="248")
    measure = page(hands)["step"]["measure"]
    assert measure["judged"]["title"] == "Too close to call"
    assert measure["judged"]["repeats"] == "Measure again: a second reading shows how far readings scatter."
    assert (measure["may_overrule"], measure["again"]) == (True, "Measure again")
    assert (
        page(hands, again=True)["step"]["measure"]["repeat_of"]
        == "Reading no. 2 of the same thing: the mean will count."
    )


def test_repeats_are_told_as_readings_more_not_as_readings_in_all() -> None:
    hands = at("tyre")
    hands.sheet["steps"][4]["measure"] = {**hands.sheet["steps"][4]["measure"]}
    hands.sheet["steps"][4]["measure"]["readings"] = [
        {**hands.sheet["steps"][4]["measure"]["readings"][0], "u": 1},
    ]
    hands.tap("measure", tyre="248.6")
    hands.tap("measure", tyre="247.0")
    assert page(hands)["step"]["measure"]["judged"]["repeats"] == "7 readings more with this mean would settle it."


@pytest.mark.parametrize(
    ("wait_s", "gone_s", "shown"),
    [
        (30, None, {"running": False, "waiting": False, "over": False, "left_s": 30, "left": "0:30"}),
        (30, 10, {"running": True, "waiting": True, "over": False, "left_s": 15, "left": "0:15"}),
        (30, 29, {"running": True, "waiting": False, "over": True, "left_s": 0, "left": "0:00"}),
        (90, 10, {"running": True, "waiting": True, "over": False, "left_s": 75, "left": "1:15"}),
    ],
)
def test_a_countdown_tells_what_is_left(wait_s: float, gone_s: float | None, shown: dict[str, Any]) -> None:
    hands = at("settle")
    hands.sheet["steps"][6]["wait_s"] = wait_s
    if gone_s is not None:
        hands.tap("start-wait")
        hands.mono_s += gone_s  # and five more until the page is drawn
    wait = page(hands)["step"]["wait"]
    assert {key: wait[key] for key in shown} == shown
    assert wait["start"] == f"Start the {clock(wait_s)} wait"


def test_a_failed_run_shows_what_the_tool_said_and_the_causes_to_look_for() -> None:
    hands = at("run")
    assert page(hands)["step"]["result"]["causes"] == []
    hands.tap("result", outcome="failed", code="C1", text="Aim not found")
    result = page(hands)["step"]["result"]
    assert (result["failed"]["code"], result["failed"]["text"]) == ("C1", "Aim not found")
    assert result["failures"] == "First failed run."
    assert [(one["number"], one["cause"], one["back_to"]) for one in result["causes"]] == [(0, "Glare", "Do hang.")]
    hands.tap("result", outcome="failed", text="Aim not found")
    assert page(hands)["step"]["result"]["failures"] == "2 failed runs."


def test_a_held_step_asks_for_a_countersign_and_for_nothing_else() -> None:
    hands = Hands(person=APPRENTICE)
    hands.sheet["steps"][0]["hold"] = "apprentice"
    hands.tap("confirm")
    shown = page(hands)["step"]
    assert shown["held"] == {"by": APPRENTICE.code}
    assert not set(KINDS.values()) & shown.keys()


# --- instead of a step


def test_a_pause_shows_its_reason_and_how_long_it_lasts() -> None:
    hands = Hands()
    hands.tap("pause", reason="parts")
    shown = page(hands)
    assert shown["paused"] == {"reason": "Waiting for parts", "since_s": 5}
    assert "step" not in shown


def test_what_is_left_open_stands_before_the_end() -> None:
    hands = Hands(witness=SUPERVISOR)
    hands.tap("leave-undone", reason="No chocks here.")
    hands.to("sign")
    hands.tap("countersign")
    finish = page(hands)["finish"]
    assert (finish["has_open"], finish["clear"]) == (True, False)
    assert finish["open"] == [
        {"step": "work/chock", "do": "Do chock.", "what": "left undone", "reason": "No chocks here."}
    ]


@pytest.mark.parametrize(("do", "text"), [("finish", "This job is finished."), ("abandon", "This job was abandoned.")])
def test_an_ended_job_says_how(do: str, text: str) -> None:
    hands = at("sign", witness=SUPERVISOR)
    hands.tap("countersign")
    hands.tap(do, reason="Sold.")
    assert page(hands)["ended"] == {"text": text, "reason": "Sold." if do == "abandon" else None}


# --- beside the step


def panel(name: str, hands: Hands, *more: Any) -> Any:
    shown = getattr(view, name)(hands.sheet, hands.state, *more, hands.clock(), say)
    return json.loads(json.dumps(shown, allow_nan=False))


def test_the_list_shows_each_step_with_its_mark_and_time() -> None:
    hands = Hands(person=APPRENTICE)
    hands.tap("confirm")
    hands.tap("leave-undone", reason="Nothing to choose.")
    rows = panel("steps_page", hands)["list"]["sections"][0]["steps"]
    assert [(row["n"], row["shape"], row["status"]) for row in rows[:4]] == [
        (1, "●", "done"),
        (2, "⊗", "left undone"),
        (3, "◆", "you are here"),
        (4, "○", "to do"),
    ]
    assert (rows[0]["time"], rows[3]["time"]) == ("0:10", "")


def test_a_step_seen_again_tells_what_was_said_and_whether_it_can_be_undone() -> None:
    hands = at("picture")
    seen = {name: panel("step_page", hands, f"work/{name}")["seen"] for name in ("placing", "hang", "tyre", "sign")}
    assert seen["placing"]["facts"] == ["Answer: Tape"]
    assert seen["hang"]["facts"] == ["L1 on SL", "R1 on SR"]
    assert seen["tyre"]["facts"] == ["Inside"]
    assert [one["may_undo"] for one in seen.values()] == [True, True, True, False]


@pytest.mark.parametrize("name", ["work/beam", "work/nothing", ""])
def test_a_step_that_does_not_stand_cannot_be_seen(name: str) -> None:
    assert panel("step_page", at("hang"), name) is None


def test_something_wrong_offers_the_steps_own_causes_by_number() -> None:
    hands = at("run")
    trouble = panel("trouble_page", hands)["trouble"]
    assert (trouble["id"], trouble["do"], trouble["has_causes"]) == ("work/run", "Do run.", True)
    assert [one["number"] for one in trouble["causes"]] == [0]
    assert panel("trouble_page", at("hang"))["trouble"]["has_causes"] is False


def test_more_offers_to_leave_the_step_unless_it_is_held() -> None:
    hands = Hands(person=APPRENTICE)
    hands.sheet["steps"][0]["hold"] = "apprentice"
    assert panel("more_page", hands)["more"]["step"]["id"] == "work/chock"
    hands.tap("note", text="Rain.")
    hands.tap("confirm")
    more = panel("more_page", hands)["more"]
    assert more["step"] is None
    assert [one["text"] for one in more["notes"]] == ["Rain."]


def test_a_day_check_has_no_vehicle_and_goes_by_its_own_name() -> None:
    sheet = every_kind()
    sheet |= {"vehicle": None, "job": sheet["job"] | {"sort": "day", "repair_order": ""}}
    shown = page(Hands(sheet=sheet))
    assert (shown["order"], shown["vehicle"]) == ("Equipment check", "")


def test_a_sheet_of_one_step_is_shown_as_well() -> None:
    sheet = every_kind() | {"steps": [step("only", "confirm")]}
    shown = page(Hands(sheet=sheet))["step"]
    assert (shown["count"], shown["previous"], shown["next"]) == ("Step 1 of 1", None, None)


# --- what was typed


@pytest.mark.parametrize(
    ("given", "form", "kept"),
    [
        ({"do": "note", "text": "Rain."}, "note", {"text": "Rain."}),
        ({"do": "undo", "reason": "Wrong."}, "undo", {"reason": "Wrong."}),
        ({"do": "result", "outcome": "failed", "code": "C1"}, "result-failed", {"code": "C1"}),
        ({"do": "result", "outcome": "not-run", "reason": "No."}, "result-not-run", {"reason": "No."}),
    ],
)
def test_what_was_typed_goes_back_into_the_same_form(given: dict[str, str], form: str, kept: dict[str, str]) -> None:
    assert typed(given, "text")["typed"][form] == {"opened": True, **kept}
    assert typed(given, "text")["amiss"] == {"text": True}


def test_a_badge_goes_back_and_a_pin_never_does() -> None:
    shown = typed({"do": "countersign", "badge": "BAY.P.X.1", "pin": "2468"}, "pin")
    assert shown["typed"]["badge"] == "BAY.P.X.1"
    assert "2468" not in json.dumps(shown)


# --- figures


@pytest.mark.parametrize(("u", "digits"), [(34, 0), (4, 1), (1.14, 1), (0.122, 2), (0.0021, 3), (0, 1), (120, 0)])
def test_digits_follow_the_uncertainty(u: float, digits: int) -> None:
    assert digits_for(u) == digits


@pytest.mark.parametrize(
    ("value", "decimals", "text"),
    [
        (1506.0, 0, "1\u202f506"),
        (-8.11, 1, "\u22128.1"),
        (-0.04, 1, "0.0"),
        (1234567.891, 2, "1\u202f234\u202f567.89"),
        (0.0, 0, "0"),
    ],
)
def test_a_figure_has_thin_spaces_and_a_real_minus(value: float, decimals: int, text: str) -> None:
    assert figure(value, decimals) == text


@pytest.mark.parametrize(
    ("value", "text"), [(230.0, "230"), (0.5, "0.5"), (-0.25, "\u22120.25"), (1500.0, "1\u202f500")]
)
def test_a_limit_stands_as_its_file_gave_it(value: float, text: str) -> None:
    assert trimmed(value) == text


@pytest.mark.parametrize(
    ("seconds", "text"), [(0, "0:00"), (59.9, "0:59"), (102, "1:42"), (3723, "1:02:03"), (-5, "0:00")]
)
def test_times_are_minutes_and_seconds_and_hours_where_there_are_any(seconds: float, text: str) -> None:
    assert clock(seconds) == text
