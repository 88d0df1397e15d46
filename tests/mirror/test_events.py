"""The phone reads, places and names events as the server does."""

import json
from random import Random
from typing import Any

import pytest

from tests.core.test_events import EVENT
from tests.mirror.conftest import Mirror
from webapp.core.errors import BadInput
from webapp.core.events import KINDS, Event, new_id, next_round

READ = json.loads(json.dumps(EVENT))


def test_it_knows_the_same_kinds(mirror: Mirror) -> None:
    assert mirror.out("eventKinds", None) == list(KINDS)


@pytest.mark.parametrize("left_out", [[], ["person"], ["data"], ["round"]])
def test_an_event_is_read_with_what_it_may_leave_out(mirror: Mirror, left_out: list[str]) -> None:
    given = {name: value for name, value in READ.items() if name not in left_out}
    assert mirror.out("fromDict", given) == json.loads(Event.from_dict(given).as_json())


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("id", ""),
        ("id", 7),
        ("job", None),
        ("seq", 0),
        ("seq", "1"),
        ("seq", True),
        ("attempt", 1.5),
        ("turn", -1),
        ("round", -1),
        ("round", None),
        ("at", "yesterday"),
        ("at", "2026-02-30T08:00:00.000Z"),
        ("at", "2026-03-02T24:00:00.000Z"),
        ("at", "2026-03-02T08:00:00Z"),
        ("at", "2026-03-02T08:00:00.000+00:00"),
        ("mono_s", "12.5"),
        ("mono_s", False),
        ("step", 4),
        ("step", ""),
        ("data", None),
        ("kind", "exploded"),
        ("kind", None),
        ("speed", 3),
        ("__proto__", 1),
    ],
)
def test_a_field_that_cannot_be_so_is_refused_with_the_same_words(mirror: Mirror, name: str, value: object) -> None:
    with pytest.raises(BadInput) as refused:
        Event.from_dict(READ | {name: value})
    assert mirror.ask("fromDict", READ | {name: value}) == refused.value.as_dict()


@pytest.mark.parametrize("name", ["boot", "kind", "seq"])
def test_a_field_that_is_missing_is_named(mirror: Mirror, name: str) -> None:
    given = {key: value for key, value in READ.items() if key != name}
    with pytest.raises(BadInput) as refused:
        Event.from_dict(given)
    assert mirror.ask("fromDict", given) == refused.value.as_dict()


def test_the_same_moment_and_noise_make_the_same_identity(mirror: Mirror) -> None:
    dice = Random("identities")
    for unix_ms in (0, 1_772_438_400_000, 2**48 - 1, *(dice.randrange(2**41) for _ in range(50))):
        noise = dice.choice((0, 2**74 - 1, dice.getrandbits(74)))
        assert mirror.out("eventId", [unix_ms, str(noise)]) == new_id(unix_ms, noise)


@pytest.mark.parametrize("last", [None, (0, "a", 3), (4, "b", 1)])
def test_the_next_round_is_the_same(mirror: Mirror, last: Any) -> None:
    named = dict(zip(("round", "device", "seq"), last, strict=True)) if last else None
    for device in "ab":
        assert mirror.out("roundAfter", [named, device]) == next_round(last, device)
