"""The chain within a device: what is cut, put in, moved, changed or swapped is found."""

from dataclasses import replace

import pytest

from webapp.core.chain import breaks, digest, follows
from webapp.core.events import Event

from .test_events import EVENT

Journal = list[tuple[Event, str]]


def made(device: str = "phone-1", count: int = 6, unchained: int = 0) -> Journal:
    """A journal, the first `unchained` events of it from before there was a chain."""
    journal: Journal = []
    for seq in range(1, count + 1):
        before = journal[-1][1] if journal and seq > unchained else None
        event = replace(Event(**EVENT), id=f"{device}-{seq}", device=device, seq=seq, before=before)
        journal.append((event, digest(event.as_json())))
    return journal


def broken(journal: Journal) -> list[str]:
    return [one.event.id for one in breaks(journal)]


@pytest.mark.parametrize("unchained", [0, 1, 3, 6])
def test_a_journal_as_it_was_recorded_holds(unchained: int) -> None:
    journal = made(unchained=unchained)
    assert broken(journal) == broken([*journal[::-1], *made("phone-2")]) == []


def test_a_line_of_old_reads_as_it_was_hashed() -> None:
    event = Event(**EVENT)
    assert "before" not in event.as_json()
    assert f'"before":"{"a" * 64}"' in replace(event, before="a" * 64).as_json()


def test_an_event_that_was_changed_breaks_the_next_one() -> None:
    journal = made()
    event = replace(journal[2][0], step="other/step")
    journal[2] = event, digest(event.as_json())
    assert broken(journal) == ["phone-1-4"]


def test_two_that_were_swapped_break_whatever_numbers_they_are_given() -> None:
    journal = made()
    third, fourth = journal[2][0], journal[3][0]
    journal[2:4] = [(one, digest(one.as_json())) for one in (replace(fourth, seq=3), replace(third, seq=4))]
    assert broken(journal) == ["phone-1-4", "phone-1-3", "phone-1-5"]


def test_one_that_was_cut_breaks_what_is_moved_up() -> None:
    journal = made()
    del journal[2]
    moved = [(replace(event, seq=number), line) for number, (event, line) in enumerate(journal, 1)]
    assert broken(moved) == ["phone-1-4"]


def test_one_that_was_put_in_breaks_what_follows() -> None:
    journal = made(count=4)
    put_in = replace(journal[2][0], id="put-in", before=journal[2][1], seq=4)
    last = replace(journal[3][0], seq=5)
    assert broken([*journal[:3], (put_in, digest(put_in.as_json())), (last, digest(last.as_json()))]) == ["phone-1-4"]


def test_a_chain_does_not_end_and_does_not_begin_before_the_first() -> None:
    journal = made()
    bare = replace(journal[3][0], before=None)
    journal[3] = bare, digest(bare.as_json())
    assert broken(journal) == ["phone-1-4", "phone-1-5"]
    first = replace(journal[0][0], before="a" * 64)
    assert broken([(first, digest(first.as_json()))]) == ["phone-1-1"]


def test_of_a_part_only_what_stands_side_by_side_is_compared() -> None:
    journal = made()
    assert broken([journal[0], journal[3], journal[5]]) == []
    bare = replace(journal[5][0], before=None)
    assert broken([journal[0], journal[3], (bare, digest(bare.as_json()))]) == ["phone-1-6"]


@pytest.mark.parametrize(
    ("says", "before", "chained", "holds"),
    [("a", "a", True, True), ("a", "b", True, False), (None, "a", True, False), (None, "a", False, True)],
)
def test_one_event_follows_or_not(says: str | None, before: str, chained: bool, holds: bool) -> None:
    event = replace(Event(**EVENT), before=says and says * 64)
    assert follows(event, before * 64, chained) is holds
