"""The place of an event in its job: the same on every device, and behind whatever its maker knew."""

from dataclasses import replace
from random import Random

from tests.sheets import Hands
from webapp.core.events import Event, Place, next_round
from webapp.core.fold import fold


def test_a_device_stays_in_its_round_while_nothing_is_heard_from_others() -> None:
    assert next_round(None, "phone-a") == 0
    assert next_round((0, "phone-a", 7), "phone-a") == 0
    assert next_round((0, "phone-a", 7), "phone-b") == 1
    assert next_round((4, "server", 1), "phone-b") == 5


def test_events_fold_to_the_same_state_in_whatever_order_they_were_heard_of() -> None:
    hands = Hands()
    hands.to("run")
    other = [replace(event, device="e", boot="boot-2", id=f"{event.id}-e", round=1) for event in hands.events[2:5]]
    heard, dice = [*hands.events, *other], Random(1)
    expected = fold(hands.sheet, heard)
    for _ in range(20):
        dice.shuffle(heard)
        assert fold(hands.sheet, heard) == expected


def test_an_event_stands_behind_all_that_its_maker_knew() -> None:
    """Phones meet at random; whatever one of them knew when it did something stands before that on every device."""
    dice = Random(2)
    knows: dict[str, list[tuple[Place, frozenset[Place]]]] = {name: [] for name in ("a", "b", "c")}
    for seq in range(1, 200):
        name = dice.choice("abc")
        if dice.random() < 0.3:
            known = {**dict(knows[name]), **dict(knows[dice.choice("abc")])}
            knows[name] = sorted(known.items())
        before = frozenset(place for place, _ in knows[name])
        place = (next_round(max(before, default=None), name), name, seq)
        assert all(earlier < place for earlier in before)
        knows[name].append((place, before))
    assert len({place[0] for place, _ in knows["a"]}) > 5


def test_what_two_devices_did_apart_stands_one_run_after_the_other() -> None:
    def run(device: str, count: int) -> list[Event]:
        begun = Hands().events[0]
        return [replace(begun, device=device, seq=number, round=1) for number in range(1, count + 1)]

    mixed = sorted([*run("b", 3), *run("a", 5)], key=lambda event: event.place)
    assert [event.device for event in mixed] == list("aaaaabbb")
