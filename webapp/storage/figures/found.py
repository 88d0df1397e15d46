"""What is found of the jobs that are meant: columns with a value a job."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from webapp.storage.packed import HEAD, OUTCOMES, REASONS, TYPE

Ints = NDArray[Any]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

DONE = OUTCOMES.index("done")
FEW = 6
"""Where no more than one in so many jobs is meant, sorting these is quicker than going through the order of all."""


@dataclass(frozen=True)
class Columns:
    """One calibration of some jobs, a value a job, in the order in which they were finished.

    Each lies by itself in memory, since a page looks at few of them, and takes out of each what is meant.
    """

    seq: Ints
    finished_ms: Ints
    vehicle: Ints
    bay: Ints
    person: Ints
    placing: Ints
    pauses_ms: Ints
    revision: Ints
    outcome: Ints
    first: Ints
    estimated: Bools
    own_s: Floats
    shared_s: Floats
    waited_s: Floats
    whole_s: Floats
    counted: Bools

    @classmethod
    def of(cls, seq: Ints, head: Ints, records: Ints) -> "Columns":
        """Take the columns out of the records of a job and of its calibration."""
        of_head = {name: np.ascontiguousarray(head[name]) for name in HEAD.names or ()}
        of_type = {name: np.ascontiguousarray(records[name]) for name in TYPE.names or () if name != "calibration"}
        of_type["estimated"] = of_type["estimated"] != 0
        return cls(
            seq=seq,
            **of_head,
            **of_type,
            whole_s=of_type["own_s"] + of_type["shared_s"],
            counted=(of_type["outcome"] == DONE) & ~of_type["estimated"],
        )

    @classmethod
    def joined(cls, some: "Sequence[Columns]", order: Ints) -> "Columns":
        """All of them one after another, in this order."""
        return cls(*(np.concatenate([getattr(one, each.name) for one in some])[order] for each in fields(cls)))

    def __len__(self) -> int:
        return len(self.seq)

    def ranked(self, name: str) -> tuple[Ints, Floats]:
        """The jobs that count, that with the least of this column first, and the values; worked out once."""
        if name not in self._ranked:
            at = np.flatnonzero(self.counted)
            self._ranked[name] = _ordered(at, getattr(self, name)[at])
        return self._ranked[name]

    @cached_property
    def _ranked(self) -> dict[str, tuple[Ints, Floats]]:
        return {}

    @cached_property
    def paused(self) -> tuple[tuple[Ints, Floats], ...]:
        """For each of `packed.REASONS`, the few jobs that were paused for it, the shortest first, and the seconds."""
        had = [(np.flatnonzero(of_it), of_it) for of_it in self.pauses_ms.T]
        return tuple(_ordered(at, of_it[at] / 1000) for at, of_it in had)


def _ordered(at: Ints, values: Floats) -> tuple[Ints, Floats]:
    order = np.argsort(values, kind="stable")
    return at[order].astype(np.int32), values[order]


def in_order(pieces: Sequence[NDArray[Any]]) -> NDArray[Any]:
    """All the values in order; each piece is in order already."""
    if len(pieces) == 1:
        return pieces[0]
    return np.sort(np.concatenate(pieces), kind="stable") if pieces else np.zeros(0)


def _column(name: str) -> "cached_property[Any]":
    return cached_property(lambda types: types.pick(name))


class Types:
    """One calibration of the jobs that are meant, a value a job, in the order in which they were finished.

    `first` is 0 where a run had failed, 1 where none had, 2 where the scan tool gave no verdict; `pauses_ms` has a
    column for each of `packed.REASONS`; `counted` says which go into the statistics: done, and no clock broke on the
    way. A column is made when it is asked for. `pieces`: columns, and which of their jobs are meant, None for all.
    """

    def __init__(self, pieces: Sequence[tuple[Columns, Ints | None]]) -> None:
        self._pieces = tuple(pieces)

    def __len__(self) -> int:
        return sum(len(columns) if at is None else len(at) for columns, at in self._pieces)

    seq = _column("seq")
    finished_ms = _column("finished_ms")
    own_s = _column("own_s")
    shared_s = _column("shared_s")
    whole_s = _column("whole_s")
    outcome = _column("outcome")
    first = _column("first")
    estimated = _column("estimated")
    counted = _column("counted")
    revision = _column("revision")
    pauses_ms = _column("pauses_ms")

    def pick(self, name: str) -> Any:
        """A column of the jobs that are meant."""
        found = self._unordered(name)
        return found if self._order is None else found[self._order]

    def ranked(self, name: str) -> tuple[Floats, Ints]:
        """A column of the jobs that count: its values in order, and the place of each among these jobs.

        A job's place is 0 where it was finished before all others that count.
        """
        if name not in self._ranked:
            self._ranked[name] = self._rank(name)
        return self._ranked[name]

    def _rank(self, name: str) -> tuple[Floats, Ints]:
        begin, found = 0, []
        for columns, at in self._pieces:
            found.append(_ranked_of(columns, at, name, begin))
            begin += len(columns) if at is None else len(at)
        if not found:
            return np.zeros(0), np.zeros(0, np.intp)
        at, values = found[0]
        if len(found) > 1:
            at, values = _ordered(*(np.concatenate(one) for one in zip(*found, strict=True)))
        place = np.cumsum(self.counted) - 1
        return values, place[at if self._order is None else np.argsort(self._order)[at]]

    @cached_property
    def _ranked(self) -> dict[str, tuple[Floats, Ints]]:
        return {}

    def paused_s(self, number: int) -> Floats:
        """The seconds of the pauses for this one of `packed.REASONS`, in each of the jobs that had one, in order."""
        found = []
        for columns, at in self._pieces:
            where, seconds = columns.paused[number]
            if at is not None:
                meant = np.zeros(len(columns), np.bool_)
                meant[at] = True
                seconds = seconds[meant[where]]
            found.append(seconds)
        return in_order(found)

    def only(self, which: Bools | Ints | slice) -> "Types":
        """Some of these jobs."""
        if len(self._pieces) == 1:
            ((columns, at),) = self._pieces
            return Types([(columns, (np.arange(len(columns)) if at is None else at)[which])])
        whole = Columns(*(self.pick(each.name) for each in fields(Columns)))
        return Types([(whole, np.arange(len(whole))[which])])

    @cached_property
    def _order(self) -> Ints | None:
        """How to bring the pieces' jobs into order; None where they are. One piece is as whoever took it wants it."""
        if len(self._pieces) < 2:
            return None
        ends = self._unordered("finished_ms")
        return None if (ends[1:] >= ends[:-1]).all() else np.argsort(ends, kind="stable")

    def _unordered(self, name: str) -> Any:
        found = [getattr(columns, name) if at is None else getattr(columns, name)[at] for columns, at in self._pieces]
        if not found:
            return np.zeros((0, len(REASONS)) if name == "pauses_ms" else 0, bool if name in _FLAGS else float)
        return found[0] if len(found) == 1 else np.concatenate(found)


def _ranked_of(columns: Columns, at: Ints | None, name: str, begin: int) -> tuple[Ints, Floats]:
    """One piece's jobs that count in the order of a column, and the values; its first job has the number `begin`."""
    if at is None:
        order, values = columns.ranked(name)
        return order + begin, values
    if FEW * len(at) < len(columns):
        some = np.flatnonzero(columns.counted[at])
        return _ordered(some + begin, getattr(columns, name)[at[some]])
    order, values = columns.ranked(name)
    number = np.full(len(columns), -1, np.int32)
    number[at] = np.arange(begin, begin + len(at), dtype=np.int32)
    meant = number.take(order)
    kept = np.flatnonzero(meant >= 0)
    return meant.take(kept), values.take(kept)


_FLAGS = ("counted", "estimated")


@dataclass(frozen=True)
class Steps:
    """One step in the jobs that are meant and not estimated: seconds at it, where it was done at all, in order.

    A step of the shared set-up (`own` is False) counts with the share that this calibration bears of it.
    """

    step: str
    own: bool
    seconds: NDArray[np.float32]


@dataclass(frozen=True)
class Extra:
    """What happened at a step beside the work, in how many jobs: begun again, failed runs, wrong labels, holds.

    `waited_s` has the seconds that it was held for a countersign, in each job where it was, in order.
    """

    step: str
    again: int
    failures: int
    wrong: int
    waited_s: Floats


@dataclass(frozen=True)
class Whole:
    """One finished job, in seconds: each calibration's own steps, what they shared (with the waits for a countersign),
    and its pauses."""

    finished_ms: int
    own_s: tuple[tuple[str, float], ...]
    shared_s: float
    pauses_s: float


NO_TYPES = Types(())
