"""What a tap makes of a job: each kind of step, the guard, undo, pause, trouble and the end."""

from dataclasses import replace

import pytest

from tests.sheets import APPRENTICE, SUPERVISOR, Hands, checked, every_kind
from webapp.core.act import Draft, act, is_repeat
from webapp.core.errors import BadInput, NotAllowed, Stale
from webapp.core.sofar import left_open


def test_a_confirmed_step_is_done_and_the_next_is_at_hand() -> None:
    hands = Hands()
    state = hands.tap("confirm")
    assert state.step("work/chock").status == "done"
    assert state.current == "work/placing"


def test_an_answer_decides_which_later_steps_stand() -> None:
    laser, tape = Hands(), Hands()
    for hands in (laser, tape):
        hands.tap("confirm")
    assert laser.tap("choose", option="laser").current == "work/beam"
    assert tape.tap("choose", option="tape").current == "work/hang"


def test_a_blocking_answer_is_kept_and_the_step_stays() -> None:
    hands = Hands()
    hands.tap("confirm")
    state = hands.tap("choose", option="none")
    assert state.current == "work/placing"
    assert state.step("work/placing").option == "none"
    assert hands.tap("choose", option="tape").current == "work/hang"


def test_every_scan_is_an_event_and_the_last_pair_ends_the_step() -> None:
    hands = Hands()
    hands.to("hang")
    hands.tap("scan", text="https://example.org/somebody-elses-code")
    hands.tap("scan", text=checked("BAY.T.L1."))
    swapped = hands.tap("scan", text=checked("BAY.S.SR."))
    assert swapped.step("work/hang").scanned["verdict"] == "right-target-wrong-spot"
    assert swapped.step("work/hang").scanned["next"]["do"] == "swap-targets"
    for text in ("BAY.T.L1.", "BAY.S.SL.", "BAY.T.R1.", "BAY.S.SR."):
        hands.tap("scan", text=checked(text))
    assert hands.state.current == "work/tyre"
    assert hands.state.step("work/hang").wrong_scans == 2
    assert sum(event.kind == "scanned" for event in hands.events) == 7


@pytest.mark.parametrize("pairs", [2, 3])
def test_a_pair_that_two_phones_have_placed_is_one_pair_and_every_other_is_still_asked_for(pairs: int) -> None:
    hands = Hands()
    (hang,) = (step for step in hands.sheet["steps"] if step["id"] == "work/hang")
    middle = hang["pairs"][0] | {"spot": "arm-right"}
    hang["pairs"] = [*hang["pairs"], middle][:pairs]
    hands.to("hang")
    for text in ("BAY.T.L1.", "BAY.S.SL."):
        hands.tap("scan", text=checked(text))
    for event in hands.events[-2:]:  # another phone scanned the same, before it had heard of it
        hands.events.append(replace(event, id=f"{event.id} too", device="c"))
    assert [one["pair"] for one in hands.state.step("work/hang").placed] == [0]
    hands.tap("scan", text=checked("BAY.T.R1."))
    after = hands.tap("scan", text=checked("BAY.S.SR."))
    assert [one["pair"] for one in after.step("work/hang").placed] == [0, 1]
    assert (after.current == "work/hang") == (pairs == 3)


def test_an_outside_reading_is_not_the_end_and_no_repeat_of_the_next() -> None:
    hands = Hands()
    hands.to("tyre")
    assert hands.tap("measure", tyre="290 kPa").current == "work/tyre"
    state = hands.tap("measure", tyre="240,0")
    assert state.step("work/tyre").measured["verdict"] == "inside"
    assert state.step("work/tyre").measured["parts"][0]["value"] == 240.0


def test_readings_too_close_to_call_are_averaged_with_their_repeats() -> None:
    hands = Hands()
    hands.to("tyre")
    hands.tap("measure", tyre="248")
    state = hands.tap("measure", tyre="247")
    assert state.step("work/tyre").measured["parts"][0]["value"] == 247.5
    assert state.step("work/tyre").measured["verdict"] == "too-close-to-call"


def test_only_a_supervisor_lets_a_close_reading_stand() -> None:
    hands = Hands()
    hands.to("tyre")
    hands.tap("measure", tyre="248")
    with pytest.raises(NotAllowed, match="badge is empty"):
        hands.tap("overrule", reason="The gauge was checked this morning.")
    hands.witness = SUPERVISOR
    state = hands.tap("overrule", reason="The gauge was checked this morning.")
    assert state.step("work/tyre").overruled_by == SUPERVISOR.code
    assert state.current == "work/picture"


def test_nobody_lets_a_reading_stand_that_is_outside() -> None:
    hands = Hands(witness=SUPERVISOR)
    hands.to("tyre")
    hands.tap("measure", tyre="290")
    with pytest.raises(NotAllowed, match="too close to call"):
        hands.tap("overrule", reason="It will do.")


def test_a_wait_is_not_over_before_its_time() -> None:
    hands = Hands()
    hands.to("settle")
    hands.tap("start-wait")
    with pytest.raises(BadInput, match="s are left"):
        hands.tap("wait")
    hands.mono_s += 30
    assert hands.tap("wait").current == "work/run"


@pytest.mark.parametrize("cause", ["1", "-1", "\u0660", "9" * 5000], ids=["none", "minus", "arabic", "huge"])
def test_a_cause_that_the_step_does_not_have_is_refused_by_its_number(cause: str) -> None:
    hands = Hands()
    hands.to("run")
    with pytest.raises(BadInput, match="is none of this step's causes") as refused:
        hands.tap("trouble", cause=cause)
    assert refused.value.code == "cause-unknown"
    assert len(refused.value.message) < 200


def test_a_failed_run_stays_open_and_its_cause_leads_back() -> None:
    hands = Hands()
    hands.to("run")
    failed = hands.tap("result", outcome="failed", code="C1", text="aim not found")
    assert failed.current == "work/run"
    assert failed.step("work/run").failures == 1
    back = hands.tap("trouble", cause="0")
    assert back.current == "work/hang"
    assert [back.step(f"work/{name}").attempt for name in ("chock", "hang", "tyre", "run")] == [1, 2, 2, 2]


def test_a_failure_without_its_text_is_refused() -> None:
    hands = Hands()
    hands.to("run")
    with pytest.raises(BadInput, match="text is empty"):
        hands.tap("result", outcome="failed")


def test_nobody_countersigns_their_own_work() -> None:
    hands = Hands(person=SUPERVISOR, witness=SUPERVISOR)
    hands.to("sign")
    with pytest.raises(NotAllowed, match="nobody countersigns their own work"):
        hands.tap("countersign")


def test_a_technician_cannot_countersign() -> None:
    hands = Hands(witness=APPRENTICE)
    hands.to("sign")
    with pytest.raises(NotAllowed, match="a supervisor or manager must countersign"):
        hands.tap("countersign")


@pytest.mark.parametrize(
    ("hold", "person", "status"), [("apprentice", APPRENTICE, "held"), ("apprentice", SUPERVISOR, "done")]
)
def test_a_hold_point_stops_the_apprentice_alone(hold: str, person, status: str) -> None:
    sheet = every_kind()
    sheet["steps"][0]["hold"] = hold
    hands = Hands(sheet=sheet, person=person)
    assert hands.tap("confirm").step("work/chock").status == status


def test_a_held_step_goes_on_only_with_a_countersign() -> None:
    sheet = every_kind()
    sheet["steps"][0]["hold"] = "everyone"
    hands = Hands(sheet=sheet)
    hands.tap("confirm")
    with pytest.raises(NotAllowed, match="waits for a supervisor"):
        hands.tap("confirm")
    hands.witness = SUPERVISOR
    state = hands.tap("countersign")
    assert state.step("work/chock").countersigned_by == SUPERVISOR.code
    assert state.current == "work/placing"


def test_a_double_tap_changes_nothing_and_is_known_as_one() -> None:
    hands = Hands()
    form = hands.form("confirm")
    hands.keep(act(hands.sheet, hands.state, form, hands.moment()))
    with pytest.raises(Stale):
        act(hands.sheet, hands.state, form, hands.moment())
    assert is_repeat(hands.sheet, hands.state, form)


@pytest.mark.parametrize(
    ("do", "given"),
    [
        ("pause", {"reason": "parts"}),
        ("abandon", {"reason": "The customer took the car away."}),
        ("undo", {"step": "work/chock", "attempt": "1", "reason": "Wrong wheel."}),
    ],
)
def test_a_double_tap_beside_the_step_is_a_repeat_as_well(do: str, given: dict[str, str]) -> None:
    hands = Hands()
    hands.tap("confirm")
    form = {**hands.form(do), **given}
    hands.keep(act(hands.sheet, hands.state, form, hands.moment()))
    with pytest.raises(Stale):
        act(hands.sheet, hands.state, form, hands.moment())
    assert is_repeat(hands.sheet, hands.state, form)


def test_going_on_and_finishing_twice_are_repeats() -> None:
    hands = Hands(witness=SUPERVISOR)
    hands.tap("pause", reason="parts")
    hands.tap("resume")
    assert is_repeat(hands.sheet, hands.state, {"do": "resume"})
    hands.to("sign")
    hands.tap("countersign")
    hands.tap("finish")
    assert is_repeat(hands.sheet, hands.state, {"do": "finish"})


def test_a_pause_for_another_reason_is_no_repeat() -> None:
    hands = Hands()
    hands.tap("pause", reason="parts")
    assert not is_repeat(hands.sheet, hands.state, {"do": "pause", "reason": "break"})
    assert not is_repeat(hands.sheet, hands.state, {"do": "abandon", "reason": "Sold."})


@pytest.mark.parametrize(
    ("wrong", "error"),
    [
        ({"step": "work/tyre"}, Stale),
        ({"step": "other/chock"}, BadInput),
        ({"attempt": "2"}, Stale),
        ({"turn": "7"}, Stale),
        ({"turn": ""}, Stale),
        ({"do": "scan"}, BadInput),
        ({"do": "dance"}, BadInput),
    ],
)
def test_a_form_of_another_page_is_refused(wrong: dict[str, str], error: type[Exception]) -> None:
    hands = Hands()
    with pytest.raises(error):
        act(hands.sheet, hands.state, hands.form("confirm") | wrong, hands.moment())
    assert len(hands.events) == 1


def test_an_undone_step_is_at_hand_again_and_keeps_its_time() -> None:
    hands = Hands()
    hands.to("hang")
    state = hands.tap("undo", step="work/chock", attempt="1", reason="Wrong wheel.")
    assert state.current == "work/chock"
    assert state.step("work/chock").undone == 1
    assert state.step("work/chock").worked_s == 10.0
    again = hands.tap("confirm")
    assert again.step("work/chock").worked_s == 20.0
    assert again.current == "work/hang"


def test_undoing_an_answer_takes_its_steps_along() -> None:
    hands = Hands()
    hands.tap("confirm")
    hands.tap("choose", option="laser")
    hands.tap("confirm")
    state = hands.tap("undo", step="work/placing", attempt="1", reason="No laser here.")
    assert state.current == "work/placing"
    assert hands.tap("choose", option="tape").current == "work/hang"


def test_a_paused_job_takes_no_steps_and_its_time_goes_to_the_pause() -> None:
    hands = Hands()
    hands.tap("pause", reason="parts", after_s=5)
    with pytest.raises(Stale, match="resume it first"):
        hands.tap("confirm")
    hands.tap("resume", after_s=600)
    state = hands.tap("confirm", after_s=7)
    assert state.pauses_s == {"parts": 600.0}
    assert state.step("work/chock").worked_s == 12.0


def test_a_job_is_finished_only_when_every_step_is_settled() -> None:
    hands = Hands()
    with pytest.raises(Stale, match="is still open"):
        hands.tap("finish")
    hands.to("sign")
    hands.witness = SUPERVISOR
    hands.tap("countersign")
    assert hands.tap("finish").phase == "finished"
    with pytest.raises(Stale, match="this job is finished"):
        hands.tap("note", text="Too late.")


def test_what_is_left_undone_needs_a_supervisor_to_finish() -> None:
    hands = Hands()
    hands.to("run")
    hands.tap("leave-undone", reason="No scan tool today.")
    hands.witness = SUPERVISOR
    hands.tap("countersign")
    hands.witness = None
    assert [one["reason"] for one in left_open(hands.sheet, hands.state)] == ["No scan tool today."]
    with pytest.raises(NotAllowed, match="badge is empty"):
        hands.tap("finish")
    hands.witness = SUPERVISOR
    assert hands.tap("finish").phase == "finished"


def test_an_abandoned_job_says_why() -> None:
    hands = Hands()
    with pytest.raises(BadInput, match="reason is empty"):
        hands.tap("abandon")
    state = hands.tap("abandon", reason="Customer took the vehicle.")
    assert (state.phase, state.end_reason) == ("abandoned", "Customer took the vehicle.")


@pytest.mark.parametrize(
    ("until", "theirs", "mine"),
    [
        ("chock", {"do": "leave-undone", "reason": "No chocks."}, {"do": "confirm"}),
        ("chock", {"do": "confirm"}, {"do": "leave-undone", "reason": "No chocks."}),
        ("placing", {"do": "choose", "option": "tape"}, {"do": "choose", "option": "laser"}),
        ("run", {"do": "result", "outcome": "done"}, {"do": "result", "outcome": "failed", "text": "No aim."}),
        ("tyre", {"do": "measure", "tyre": "240"}, {"do": "measure", "tyre": "241"}),
        ("picture", {"do": "photo", "sha256": "a" * 64}, {"do": "photo", "sha256": "b" * 64}),
        ("hang", {"do": "scan", "text": "BAY.T.L1"}, {"do": "scan", "text": "BAY.T.R1"}),
    ],
)
def test_another_answer_to_the_same_page_is_no_repeat(until: str, theirs: dict[str, str], mine: dict[str, str]) -> None:
    hands = Hands()
    hands.to(until)
    forms = [hands.form(**given) for given in (theirs, mine)]
    hands.keep(act(hands.sheet, hands.state, forms[0], hands.moment()))
    assert is_repeat(hands.sheet, hands.state, forms[0])
    assert not is_repeat(hands.sheet, hands.state, forms[1])


def held() -> tuple[Hands, Draft]:
    """Hands that wait for a countersign, and what they did before."""
    sheet = every_kind()
    sheet["steps"][0]["hold"] = "everyone"
    hands = Hands(sheet=sheet, witness=SUPERVISOR)
    done = act(hands.sheet, hands.state, hands.form("confirm"), hands.moment())
    hands.keep(done)
    return hands, done


def test_a_countersign_is_a_repeat_only_where_somebody_has_signed() -> None:
    hands, done = held()
    early = hands.form("countersign")
    hands.keep(done)  # another phone's, heard of only now: the page is stale, and nobody has signed
    with pytest.raises(Stale):
        act(hands.sheet, hands.state, early, hands.moment())
    assert not is_repeat(hands.sheet, hands.state, early)

    form = hands.form("countersign")
    hands.tap("countersign")
    assert is_repeat(hands.sheet, hands.state, form)


def test_what_another_phone_did_unheard_of_is_a_repeat_though_its_turn_is_another() -> None:
    hands, done = held()
    signed = act(hands.sheet, hands.state, hands.form("countersign"), hands.moment())
    hands.keep(done)  # by both phones; only one of them knows it when its page for the countersign is drawn
    form = hands.form("countersign")
    hands.keep(signed)
    assert (signed.turn, form["turn"]) == (1, "2")
    assert is_repeat(hands.sheet, hands.state, form)
