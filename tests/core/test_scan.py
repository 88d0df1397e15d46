"""What a scan means: every verdict, whatever the order, and a way on from each."""

from dataclasses import asdict
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.cases import cases, check, read_cases
from webapp.core.kit import open_pairs
from webapp.core.labels import Label, label_text
from webapp.core.scan import ScanResult, Verdict, scan_verdict
from webapp.core.scan_sentence import SENTENCES, sentence

LEFT, RIGHT = {"target": "panel-left", "spot": "stand-left"}, {"target": "panel-right", "spot": "stand-right"}
KIT: dict[str, dict[str, Any]] = {
    "B-L": {"kind": "target", "is": "panel-left", "name": "left panel", "condition": "good"},
    "B-R": {"kind": "target", "is": "panel-right", "name": "right panel", "condition": "good"},
    "S-L": {"kind": "spot", "is": "stand-left", "name": "left hook", "condition": "good"},
    "S-R": {"kind": "spot", "is": "stand-right", "name": "right hook", "condition": "good"},
    "REF-1": {"kind": "target", "is": "reflector", "name": "reflector 1", "condition": "good"},
    "REF-2": {"kind": "target", "is": "reflector", "name": "reflector 2", "condition": "good"},
    "M-1": {"kind": "spot", "is": "mark", "name": "first mark", "condition": "good"},
    "M-2": {"kind": "spot", "is": "mark", "name": "second mark", "condition": "good"},
}
TEXTS = {code: label_text(Label(item["kind"], code)) for code, item in KIT.items()}


def verdict(case: dict[str, Any]) -> ScanResult:
    return scan_verdict(**case)


@pytest.mark.parametrize("case", cases("scan"))
def test_a_shared_case_comes_out_as_written(case: dict[str, Any]) -> None:
    check(case, lambda given: asdict(verdict(given)))


def test_the_cases_bring_up_every_verdict_and_every_piece_of_advice() -> None:
    outs = [case["out"] for case in read_cases("scan")]
    assert {out["verdict"] for out in outs} == set(get_args(Verdict))
    assert {out["next"]["do"] for out in outs} == set(SENTENCES)


@pytest.mark.parametrize("case", cases("scan"))
def test_every_verdict_says_what_to_do_next_in_one_plain_sentence(case: dict[str, Any]) -> None:
    said = sentence(verdict(case["in"]))
    assert len(said.split()) >= 5
    assert "{" not in said
    assert "None" not in said


def test_a_swapped_left_and_right_names_both_spots_in_either_order() -> None:
    for text, held in ((TEXTS["S-R"], "B-L"), (TEXTS["B-L"], "S-R")):
        found = scan_verdict([LEFT, RIGHT], [], KIT, text, holding=held)
        assert (found.verdict, found.target, found.spot) == ("right-target-wrong-spot", "B-L", "S-L")
        assert found.next == {
            "do": "swap-targets",
            "target": "left panel",
            "here": "right hook",
            "spot": "left hook",
            "other": "right panel",
        }
        assert sentence(found) == (
            "left panel belongs in left hook, and right hook takes right panel: change them over, then scan left hook"
        )


def test_putting_a_swap_right_completes_the_pair_with_one_more_scan() -> None:
    swapped = scan_verdict([LEFT, RIGHT], [], KIT, TEXTS["S-R"], holding="B-L")
    right = scan_verdict([LEFT, RIGHT], [], KIT, TEXTS["S-L"], holding=swapped.holding)
    assert (right.verdict, right.placed) == ("match", {"target": "B-L", "spot": "S-L"})


def test_two_equal_targets_go_to_two_equal_spots_whichever_way_round() -> None:
    expected = [{"target": "reflector", "spot": "mark"}] * 2
    placed: list[dict[str, Any]] = []
    for target, spot in (("REF-2", "M-1"), ("REF-1", "M-2")):
        first = scan_verdict(expected, placed, KIT, TEXTS[target])
        done = scan_verdict(expected, placed, KIT, TEXTS[spot], holding=first.holding)
        assert done.placed == {"target": target, "spot": spot}
        placed.append(done.placed)
    assert open_pairs(expected, placed, KIT) == []


def test_a_held_code_that_makes_no_sense_is_let_go() -> None:
    found = scan_verdict([LEFT, RIGHT], [], KIT, TEXTS["B-L"], holding="NOT-IN-KIT")
    assert (found.verdict, found.holding) == ("match", "B-L")


@pytest.mark.parametrize("codes", [("REF-2", "REF-3"), ("REF-3", "REF-2")])
def test_the_stand_in_is_the_first_by_its_code_however_the_kit_is_ordered(codes: tuple[str, ...]) -> None:
    broken = {"REF-1": KIT["REF-1"] | {"condition": "damaged"}}
    kit = broken | {code: KIT["REF-2"] | {"name": code} for code in codes}
    found = scan_verdict([{"target": "reflector", "spot": "mark"}], [], kit, TEXTS["REF-1"])
    assert (found.verdict, found.next["instead"]) == ("out-of-service", "REF-2")


EXPECTED = [LEFT, RIGHT, {"target": "reflector", "spot": "mark"}, {"target": "reflector", "spot": "mark"}]


@given(st.lists(st.sampled_from(sorted(TEXTS)), max_size=25))
def test_any_order_of_scans_places_only_what_belongs_together(codes: list[str]) -> None:
    placed: list[dict[str, Any]] = []
    holding: str | None = None
    for code in codes:
        found = scan_verdict(EXPECTED, placed, KIT, TEXTS[code], holding)
        if found.placed:
            names = {role: KIT[str(found.placed[role])]["is"] for role in ("target", "spot")}
            assert names in EXPECTED
            assert code in found.placed.values()
            placed.append(found.placed)
        assert (found.placed is None) or found.holding is None
        holding = found.holding
    hung = [pair["target"] for pair in placed]
    assert len(hung) == len(set(hung))
    assert len(open_pairs(EXPECTED, placed, KIT)) == len(EXPECTED) - len(placed)


@given(st.permutations(["B-L", "B-R", "REF-1", "REF-2"]))
def test_following_the_advice_to_the_letter_completes_the_step(targets: list[str]) -> None:
    placed: list[dict[str, Any]] = []
    by_name = {item["name"]: code for code, item in KIT.items()} | {"mark": "M-1"}
    for target in targets:
        first = scan_verdict(EXPECTED, placed, KIT, TEXTS[target])
        spot = by_name[first.next["spot"]]
        if first.next["spot"] == "mark" and any(pair["spot"] == "M-1" for pair in placed):
            spot = "M-2"
        done = scan_verdict(EXPECTED, placed, KIT, TEXTS[spot], holding=first.holding)
        assert done.placed is not None
        placed.append(done.placed)
    assert done.next == {"do": "all-placed"}
