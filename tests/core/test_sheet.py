"""What is worked out of a part of a sheet once: known by the part itself, and forgotten in time."""

from webapp.core.sheet import MOST_KEPT, once


def test_a_part_is_asked_once_and_one_that_reads_the_same_is_another() -> None:
    asked: list[list[int]] = []

    @once
    def longest(part: list[int]) -> int:
        asked.append(part)
        return max(part)

    one, other = [1, 2], [1, 2]
    assert [longest(one), longest(one), longest(other)] == [2, 2, 2]
    assert [part is one for part in asked] == [True, False]


def test_only_so_many_parts_are_kept() -> None:
    asked = 0

    @once
    def count(_part: list[int]) -> int:
        nonlocal asked
        asked += 1
        return asked

    parts = [[number] for number in range(MOST_KEPT + 1)]
    found = [count(part) for part in parts]
    assert found == list(range(1, MOST_KEPT + 2))
    assert count(parts[-1]) == found[-1]
    assert count(parts[0]) == MOST_KEPT + 2
