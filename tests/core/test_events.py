"""The journal's one record: what it holds, how it is written, and what is no event."""

import json
from collections.abc import Callable
from dataclasses import FrozenInstanceError, asdict
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.sheets import Hands, every_kind
from webapp.core.errors import BadInput
from webapp.core.events import KINDS, Event, new_id
from webapp.core.fold import fold
from webapp.core.kinds import RECORDS, SETTLES

EVENT: dict[str, Any] = {
    "id": "019c0000-0000-7000-8000-000000000001",
    "job": "job-1",
    "device": "server",
    "seq": 1,
    "kind": "confirmed",
    "step": "work/chock",
    "attempt": 1,
    "turn": 0,
    "at": "2026-03-02T08:00:00.000Z",
    "mono_s": 12.5,
    "boot": "boot-1",
    "person": "AAA111",
    "data": {"held": False},
    "round": 0,
}
OPTIONAL = ("person", "data", "round")


def test_an_event_reads_back_as_it_was_written() -> None:
    event = Event.from_dict(EVENT)
    assert Event.from_dict(json.loads(event.as_json())) == event
    assert asdict(event) == EVENT | {"before": None}


def test_an_event_is_written_on_one_line_whatever_was_typed() -> None:
    event = Event.from_dict(EVENT | {"kind": "noted", "data": {"text": "first\nsecond\u2028third, näher"}})
    assert len(event.as_json().split("\n")) == 1
    assert Event.from_dict(json.loads(event.as_json())).data == event.data


def test_an_event_is_never_changed() -> None:
    with pytest.raises(FrozenInstanceError):
        Event.from_dict(EVENT).kind = "undone"  # type: ignore[misc]


def test_person_data_and_round_may_be_left_out() -> None:
    short = {name: value for name, value in EVENT.items() if name not in OPTIONAL}
    read = Event.from_dict(short)
    assert (read.person, read.data, read.round) == (None, {}, 0)


@pytest.mark.parametrize("name", [name for name in EVENT if name not in OPTIONAL])
def test_a_missing_field_is_named(name: str) -> None:
    with pytest.raises(BadInput) as refused:
        Event.from_dict({key: value for key, value in EVENT.items() if key != name})
    assert (refused.value.code, refused.value.field) == ("event-fields", name)


@pytest.mark.parametrize(
    ("name", "value", "what"),
    [
        ("id", "", "must be text"),
        ("id", 7, "id=7 must be text"),
        ("job", None, "job=null must be text"),
        ("seq", 0, "seq=0 must be a whole number from 1"),
        ("seq", "1", "seq='1' must be a whole number from 1"),
        ("seq", True, "seq=true must be a whole number from 1"),
        ("attempt", 1.5, "attempt=1.5 must be a whole number from 1"),
        ("turn", -1, "turn=-1 must be a whole number from 0"),
        ("at", "yesterday", "at='yesterday' must be an instant"),
        ("at", "2026-03-02T08:00:00", "must be an instant"),
        ("at", "2026-03-02T08:00:00.000+00:00", "must be an instant"),
        ("at", "2026-02-30T08:00:00.000Z", "must be an instant"),
        ("mono_s", "12.5", "mono_s='12.5' must be a finite number of seconds"),
        ("mono_s", float("nan"), "must be a finite number of seconds"),
        ("step", 4, "step=4 must be text or null"),
        ("data", [], "data=[] must be an object"),
        ("kind", "exploded", "kind='exploded' is not known"),
        ("kind", ["confirmed"], "is not known"),
        ("speed", 3, "speed is missing or unknown"),
    ],
)
def test_a_field_that_cannot_be_so_is_named_with_its_value(name: str, value: object, what: str) -> None:
    with pytest.raises(BadInput) as refused:
        Event.from_dict(EVENT | {name: value})
    assert refused.value.field == name
    assert what in refused.value.message


@pytest.mark.parametrize("said", [[], "confirmed", None])
def test_what_is_no_object_is_no_event(said: Any) -> None:
    with pytest.raises(BadInput) as refused:
        Event.from_dict(said)
    assert refused.value.code == "not-an-object"


ODD = st.sampled_from(
    [None, True, 0, 1, -1, 2**53, 10**400, 1.0, -0.0, 1e308, "", "x", "\ud800", "\x00", "2026-02-30T08:00:00.000Z",
     "2026-03-02T08:00:00.000Z\n", "a" * 64, "A" * 64, "a" * 64 + "\n", [], {}, {"a": [1, "\ud800"]}, {"deep": 0}]
)  # fmt: skip
NAMES = st.sampled_from([*EVENT, "before", "speed"])


def read(how: Callable[[], Event]) -> Any:
    """What came of it: the event, with the types that its numbers have, or the refusal."""
    try:
        event = how()
    except BadInput as refused:
        return refused.code, refused.field, refused.message
    return event, type(event.mono_s), type(event.seq)


@given(
    st.dictionaries(st.sampled_from([*EVENT, "before", "speed"]), ODD, max_size=3), st.sets(st.sampled_from([*EVENT]))
)
def test_a_line_is_read_as_what_it_says(odd: dict[str, Any], gone: set[str]) -> None:
    line = json.dumps({name: value for name, value in (EVENT | odd).items() if name in odd or name not in gone})
    assert read(lambda: Event.from_line(line)) == read(lambda: Event.from_dict(json.loads(line)))


@pytest.mark.parametrize("line", ["", "{", "[]", "null", '{"id": "a", "id": "b"}', "NaN", "[" * 3000])
def test_a_line_that_is_no_event_is_refused(line: str) -> None:
    with pytest.raises((BadInput, ValueError)):
        Event.from_line(line)


def test_of_a_field_that_stands_twice_the_last_counts() -> None:
    """As every reader of JSON here has it; two that differ in this would read two events out of one line."""
    line = json.dumps(EVENT)[:-1] + ', "seq": 7}'
    assert Event.from_line(line) == Event.from_dict(json.loads(line)) == Event.from_dict(EVENT | {"seq": 7})


def test_every_kind_of_event_is_documented_used_and_folded() -> None:
    hands = Hands()
    job_level = {"started", "undone", "returned", "paused", "resumed", "noted", "troubled", "finished", "abandoned"}
    assert set(KINDS) == job_level | set(SETTLES)
    assert len(RECORDS) == len({*SETTLES, "returned"})
    # An event of a kind that nobody folds would change the count and nothing else.
    before = fold(hands.sheet, hands.events)
    told = {
        "undone": {"steps": ["work/chock"]},
        "returned": {"steps": ["work/chock"], "by": "CCC333", "reason": "Loose."},
        "paused": {"reason": "parts"},
        "noted": {"text": "Rain."},
        "troubled": {"cause": "Glare"},
        "finished": {"open": []},
        "abandoned": {"reason": "Sold."},
    }
    for kind, data in told.items():
        event = Event.from_dict(EVENT | {"kind": kind, "data": data, "at": hands.events[0].at, "mono_s": 1000.0})
        after = fold(every_kind(), [event], before)
        assert after.count == before.count + 1
        assert (after.phase, after.paused, after.notes, after.troubles, after.steps) != (
            before.phase,
            before.paused,
            before.notes,
            before.troubles,
            before.steps,
        ), kind


def test_an_id_is_the_uuid_of_version_7_that_the_standard_gives_as_its_example() -> None:
    # RFC 9562, appendix A.6: 22 February 2022, with rand_a and rand_b as given there.
    assert new_id(0x017F22E279B0, 0xCC3 << 62 | 0x18C4DC0C0C07398F) == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def test_ids_sort_by_the_time_of_their_making() -> None:
    assert new_id(1_772_438_400_000, 2**74 - 1) < new_id(1_772_438_400_001, 0)


def test_two_ids_of_one_millisecond_differ() -> None:
    assert len({new_id(1_772_438_400_000) for _ in range(1000)}) == 1000
