"""The phone's rules make of any taps what the server's make of them: drafts, refusals, states and pages."""

from random import Random

import pytest

from tests.core.cases import same
from tests.mirror.conftest import Mirror
from tests.mirror.playing import Played, agree, plain, random_history, some_sheet
from webapp.core.events import KINDS, Event
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


def test_two_phones_journals_fold_alike_however_they_are_merged(mirror: Mirror) -> None:
    dice = Random("merged")
    for played in histories(SEEDS):
        merged = interleaved(played.events, dice)
        found = mirror.out("folded", {"sheet": played.sheet, "events": plain(merged)})
        assert same(found, plain(fold(played.sheet, merged)))


def interleaved(events: list[Event], dice: Random) -> list[Event]:
    """Each phone's events in their order, one phone's among the other's at random."""
    phones = [[one for one in events if one.device == device] for device in "ab"]
    merged = []
    while any(phones):
        merged.append(dice.choice([phone for phone in phones if phone]).pop(0))
    return merged


def test_the_histories_reach_every_kind_of_event_and_the_usual_refusals() -> None:
    played = [one for seed in range(0, SEEDS, 5) for one in histories(seed)]
    assert {event.kind for one in played for event in one.events} == set(KINDS)
    refused = {told["error"]["code"] for one in played for told in one.told if "error" in told}
    assert len(refused) >= 20, sorted(refused)
    assert {"step-not-current", "job-ended", "wait-not-over", "witness-self", "step-held", "not-too-close"} <= refused
    assert {told["repeat"] for one in played for told in one.told if "repeat" in told} == {True, False}
