"""The phone's rules make of any taps what the server's make of them: drafts, refusals, states and pages."""

from dataclasses import replace
from random import Random

import pytest

from tests.core.cases import same
from tests.mirror.conftest import Mirror
from tests.mirror.playing import Played, agree, keep, plain, random_history
from tests.mirror.taps import form, some_sheet
from tests.sheets import SUPERVISOR, Hands, every_kind
from webapp.core.act import Draft
from webapp.core.crossing import crossings
from webapp.core.events import KINDS
from webapp.core.fold import fold

SEEDS, EACH, LENGTH = 32, 26, 28


def histories(seed: int) -> list[Played]:
    dice = Random(seed)
    sheet = some_sheet(dice)
    played = [random_history(dice, sheet, LENGTH) for _ in range(EACH)]
    for one in played:
        one.look_after(dice.sample(range(len(one.taps)), 2))
    return played


@pytest.mark.parametrize("seed", range(SEEDS))
def test_any_taps_are_decided_folded_and_shown_alike(mirror: Mirror, seed: int) -> None:
    for played in histories(seed):
        agree(mirror, played)


def test_any_taps_are_decided_alike_where_another_phone_worked_unheard(mirror: Mirror) -> None:
    dice, twice = Random("unheard"), 0
    for _ in range(120):
        played = random_history(dice, some_sheet(dice), 40, unheard=0.25)
        agree(mirror, played)
        twice += len(crossings(played.sheet, played.events)) > 0
    assert twice > 60


def test_a_countersign_is_taken_for_a_repeat_alike(mirror: Mirror) -> None:
    sheet = every_kind()
    sheet["steps"][0]["hold"] = "everyone"
    played, moment = Played(sheet, [], [], [], fold(sheet, [])), Hands(witness=SUPERVISOR).moment()
    keep(played, None, None, moment.clock, "a", Draft("started", None, 1, 0, {"sheet": "0" * 64}))
    keep(played, form(played.state, {"do": "confirm"}), moment, moment.clock, "a")
    early = form(played.state, {"do": "countersign"})
    keep(played, None, None, moment.clock, "b", Draft("confirmed", "work/chock", 1, 0, {"held": True}))
    keep(played, early, moment, moment.clock, "a")  # stale, and nobody has signed
    late = form(played.state, {"do": "countersign"})
    keep(played, late, moment, moment.clock, "a")
    keep(played, late, moment, moment.clock, "a")
    assert [one["repeat"] for one in played.told if "repeat" in one] == [False, True]
    agree(mirror, played)


def test_two_phones_journals_fold_alike_in_whatever_order_they_are_heard_of(mirror: Mirror) -> None:
    dice = Random("merged")
    for number, played in enumerate(histories(SEEDS)):
        # Every other time neither phone has heard of the other.
        apart = [replace(one, round=0) for one in played.events] if number % 2 else played.events
        heard = dice.sample(apart, len(apart))
        found = mirror.out("folded", {"sheet": played.sheet, "events": plain(heard)})
        assert same(found, plain(fold(played.sheet, apart)))
        if not number % 2:
            assert same(found, plain(played.state))


def test_the_histories_reach_every_kind_of_event_and_the_usual_refusals() -> None:
    played = [one for seed in range(0, SEEDS, 5) for one in histories(seed)]
    assert {event.kind for one in played for event in one.events} == set(KINDS)
    refused = {told["error"]["code"] for one in played for told in one.told if "error" in told}
    assert len(refused) >= 20, sorted(refused)
    assert {"step-not-current", "job-ended", "wait-not-over", "witness-self", "step-held", "not-too-close"} <= refused
    assert {told["repeat"] for one in played for told in one.told if "repeat" in told} == {True, False}
