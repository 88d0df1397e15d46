"""One calibration of a part's jobs: what is known of each, a row a step, and what happened beside the work."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from webapp.storage.figures.asked import Asked
from webapp.storage.figures.found import FEW, Bools, Columns, Floats, Ints
from webapp.storage.packed import unix_ms


@dataclass(frozen=True)
class Beside:
    """The few steps with something beside the work, step by step: in which of the jobs (`at`), and what it was.

    Of each step those come first that waited least.
    """

    step: Ints
    at: Ints
    again: Bools
    failed: Bools
    wrong: Bools
    waited_s: Floats

    @classmethod
    def of(cls, steps: Ints, at: Ints) -> "Beside":
        """Sort the records of such steps."""
        order = np.lexsort((steps["waited_ms"], steps["step"]))
        some = steps[order]
        return cls(
            step=some["step"].copy(),
            at=at[order].astype(np.uint32),
            again=some["attempts"] > 1,
            failed=some["failures"] > 0,
            wrong=some["wrong"] > 0,
            waited_s=some["waited_ms"] / 1000,
        )

    def runs(self) -> Iterator[tuple[int, slice]]:
        """Where each step's lie."""
        if not len(self.step):
            return
        begins = np.flatnonzero(np.diff(self.step, prepend=self.step[:1] + 1))
        for begin, end in zip(begins, [*begins[1:], len(self.step)], strict=True):
            yield int(self.step[begin]), slice(int(begin), int(end))


@dataclass(frozen=True)
class Block:
    """One calibration of a part's jobs, in the order in which they were finished.

    `job` says which of the part's jobs each is. `seconds` has a row for each step, not a number where it was not done.
    `causes` are what was found to be wrong, `cause_at` in which of the jobs.
    """

    job: Ints
    columns: Columns
    codes: Ints
    own: Bools
    seconds: NDArray[np.float32]
    beside: Beside
    causes: Ints
    cause_at: Ints

    def meant(self, asked: Asked, codes: Mapping[str, int], alive: Bools | None) -> Ints | None:
        """Which of the jobs are meant, None for all. `alive` says which of the part's still count, None for all."""
        columns, begin, end = self.columns, 0, len(self.job)
        if asked.since:
            begin = int(np.searchsorted(columns.finished_ms, unix_ms(asked.since)))
        if asked.until:
            end = int(np.searchsorted(columns.finished_ms, unix_ms(asked.until)))
        within = slice(begin, max(begin, end))
        equal = [
            getattr(columns, name)[within] == codes.get(word, -1)
            for name in ("vehicle", "bay", "person", "placing")
            if (word := getattr(asked, name)) is not None
        ]
        if asked.revision is not None:
            equal.append(columns.revision[within] == asked.revision)
        if alive is not None:
            equal.append(alive[self.job[within]])
        if equal:
            return begin + np.flatnonzero(np.logical_and.reduce(equal))
        return None if within == slice(0, len(self.job)) else np.arange(within.start, within.stop)

    def marked(self, at: Ints) -> Bools:
        """A mark at each of these jobs."""
        found = np.zeros(len(self.job), np.bool_)
        found[at] = True
        return found

    def keeps(self, at: Ints | None, of: Ints) -> Bools | slice:
        """Which of these lie in the jobs that are meant."""
        return slice(None) if at is None else self.marked(at)[of]

    def in_order(self, at: Ints | None) -> Iterator[tuple[int, bool, NDArray[np.float32]]]:
        """Each step's code, whether it is the calibration's own, and the seconds at it in the jobs that are meant, less
        those where a clock broke, in order."""
        steps = zip(self.codes.tolist(), self.own.tolist(), self.seconds, strict=True)
        if at is not None and FEW * len(at) < len(self.job):
            sure = at[~self.columns.estimated[at]]
            for code, own, seconds in steps:
                some = seconds[sure]
                yield code, own, np.sort(some[np.flatnonzero(~np.isnan(some))])
            return
        meant = None if at is None else self.marked(at)
        for (code, own, _), (by_length, ordered) in zip(steps, self.by_length, strict=True):
            # Taking places out is several times quicker than a mask that changes from one value to the next.
            yield code, own, ordered if meant is None else ordered.take(meant.take(by_length).nonzero()[0])

    @cached_property
    def by_length(self) -> tuple[tuple[Ints, NDArray[np.float32]], ...]:
        """Of each step, the jobs that count in which it was done, the quickest at it first, and the seconds there."""
        none = int(self.columns.estimated.sum())
        found = []
        for seconds in self.seconds:
            known = seconds if not none else np.where(self.columns.estimated, np.float32(np.nan), seconds)
            order = np.argsort(known)[: len(known) - int(np.isnan(known).sum())].astype(np.int32)
            found.append((order, seconds[order]))
        return tuple(found)


def merged(blocks: Sequence[Block], before: Sequence[int]) -> Block:
    """Several parts' blocks of one calibration as one; `before`: how many jobs the parts before each have."""
    ends = np.concatenate([one.columns.finished_ms for one in blocks])
    order = np.argsort(ends, kind="stable")
    place = np.empty(len(order), np.int64)
    place[order] = np.arange(len(order))
    begins = np.cumsum([0, *(len(one.job) for one in blocks)])
    places = [place[begin:end] for begin, end in pairwise(begins.tolist())]
    codes = np.unique(np.concatenate([one.codes for one in blocks]))
    own = np.zeros(len(codes), np.bool_)
    seconds = np.full((len(codes), len(order)), np.nan, np.float32)
    for one, where in zip(blocks, places, strict=True):
        for row, mine, values in zip(np.searchsorted(codes, one.codes), one.own, one.seconds, strict=True):
            own[row] = mine
            seconds[row, where] = values
    beside = [one.beside for one in blocks]
    at = np.concatenate([where[one.at] for one, where in zip(beside, places, strict=True)]).astype(np.uint32)
    by_step = np.lexsort([np.concatenate([getattr(one, name) for one in beside]) for name in ("waited_s", "step")])

    def of_beside(name: str) -> Ints:
        return np.concatenate([getattr(one, name) for one in beside])[by_step]

    return Block(
        job=np.concatenate([one.job + np.uint32(more) for one, more in zip(blocks, before, strict=True)])[order],
        columns=Columns.joined([one.columns for one in blocks], order),
        codes=codes,
        own=own,
        seconds=seconds,
        beside=Beside(
            of_beside("step"), at[by_step], *(of_beside(name) for name in ("again", "failed", "wrong", "waited_s"))
        ),
        causes=np.concatenate([one.causes for one in blocks]),
        cause_at=np.concatenate([where[one.cause_at] for one, where in zip(blocks, places, strict=True)]),
    )
