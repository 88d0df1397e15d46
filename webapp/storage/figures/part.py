"""Some of the jobs, taken apart into columns by calibration."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from webapp.core.state import PAUSES
from webapp.storage.figures.asked import Asked
from webapp.storage.figures.block import Beside, Block, merged
from webapp.storage.figures.found import Bools, Columns, Ints, Whole
from webapp.storage.packed import CAUSE, HEAD, STEP, TYPE


@dataclass(frozen=True)
class Shared:
    """The steps of shared set-up and closing: a row a step with the whole seconds at it in each of the part's jobs,
    not a number where it was not done or its time is estimated."""

    codes: Ints
    seconds: NDArray[np.float32]

    @classmethod
    def of(cls, jobs: int, step_job: Ints, steps: Ints) -> "Shared":
        rows = np.flatnonzero((steps["own"] == 0) & (steps["estimated"] == 0))
        codes, row = np.unique(steps["step"][rows], return_inverse=True)
        seconds = np.full((len(codes), jobs), np.nan, np.float32)
        seconds[row, step_job[rows]] = steps["worked_ms"][rows] / 1000
        return cls(codes, seconds)

    @classmethod
    def merged(cls, some: "Sequence[Shared]") -> "Shared":
        """Those of several parts, one after another."""
        codes = np.unique(np.concatenate([one.codes for one in some]))
        seconds = np.full((len(codes), sum(one.seconds.shape[1] for one in some)), np.nan, np.float32)
        begin = 0
        for one in some:
            end = begin + one.seconds.shape[1]
            seconds[np.searchsorted(codes, one.codes), begin:end] = one.seconds
            begin = end
        return cls(codes, seconds)


@dataclass(frozen=True)
class Part:
    """Some of the jobs: what is known of each, a block a calibration, and the steps that calibrations share."""

    seq: Ints
    alive: Bools
    head: Ints
    blocks: dict[int, Block]
    shared: Shared

    @classmethod
    def of(cls, seq: Ints, head: Ints, counts: Sequence[Ints], types: Ints, steps: Ints, causes: Ints) -> "Part":
        """Sort the jobs' records, which lie here job by job; `counts`: how many types, steps and causes each has."""
        jobs = np.arange(len(seq), dtype=np.uint32)
        type_job, step_job = np.repeat(jobs, counts[0]), np.repeat(jobs, counts[1])
        begins = np.cumsum(counts[0]) - counts[0]
        # A step's record once for each calibration that it serves: which record of `types`, and which of `steps`.
        served, record = [np.zeros(0, np.int64)], [np.zeros(0, np.int64)]
        for place in range(int(counts[0].max(initial=0))):
            rows = np.flatnonzero(steps["serves"] >> np.uint32(place) & np.uint32(1))
            record.append(rows)
            served.append(begins[step_job[rows]] + place)
        at, rows = np.concatenate(served), np.concatenate(record)
        shared = np.bitwise_count(steps["serves"]).astype(np.float64)
        share_s = (steps["worked_ms"] / 1000 / np.maximum(shared, 1)).astype(np.float32)
        kinds = types["calibration"][at]
        cause_job = np.repeat(jobs, counts[2])
        odd = (steps["waited_ms"] > 0) | (steps["attempts"] > 1) | (steps["failures"] > 0) | (steps["wrong"] > 0)
        blocks = {}
        for code in np.unique(types["calibration"]):
            mine = np.flatnonzero(types["calibration"] == code)
            mine = mine[np.argsort(head["finished_ms"][type_job[mine]], kind="stable")]
            column = np.zeros(len(types), np.int64)
            column[mine] = np.arange(len(mine))
            of_it = np.flatnonzero(kinds == code)
            of_step, in_job = rows[of_it], column[at[of_it]]
            codes, row = np.unique(steps["step"][of_step], return_inverse=True)
            seconds = np.full((len(codes), len(mine)), np.nan, np.float32)
            seconds[row, in_job] = share_s[of_step]
            own = np.zeros(len(codes), np.bool_)
            own[row] = steps["own"][of_step] != 0
            beside = np.flatnonzero(odd[of_step])
            records, of_mine = types[mine], type_job[mine]
            caused = np.flatnonzero(np.isin(causes["step"], codes[own]))
            of_job = np.full(len(seq), -1, np.int64)
            of_job[type_job[mine]] = np.arange(len(mine))
            caused = caused[of_job[cause_job[caused]] >= 0]
            blocks[int(code)] = Block(
                job=of_mine,
                columns=Columns.of(seq[of_mine], head[of_mine], records),
                codes=codes,
                own=own,
                seconds=seconds,
                beside=Beside.of(steps[of_step[beside]], in_job[beside]),
                causes=causes["cause"][caused],
                cause_at=of_job[cause_job[caused]],
            )
        return cls(seq, np.ones(len(seq), np.bool_), head, blocks, Shared.of(len(seq), step_job, steps))

    @cached_property
    def living(self) -> Bools | None:
        """Which jobs still count; None for all."""
        return None if self.alive.all() else self.alive

    @cached_property
    def differ(self) -> dict[int, dict[str, list[int]]]:
        """For each calibration, which vehicles, bays, people, placings and revisions its jobs have."""
        found = {}
        for code, block in self.blocks.items():
            names = ("vehicle", "bay", "person", "placing", "revision")
            found[code] = {name: np.flatnonzero(np.bincount(getattr(block.columns, name))).tolist() for name in names}
        return found

    def whole(self, calibration: int, steps: Sequence[int], most: int) -> NDArray[np.float32]:
        """Whole seconds at these steps, a row a job, not a number where it was not done.

        Of a calibration's own steps the last `most` jobs that count; of shared work the last that had one of the steps.
        """
        block = self.blocks.get(calibration)
        if block is None:
            codes, seconds = self.shared.codes, self.shared.seconds
            rows = _rows_of(codes, steps)
            some = np.isfinite(seconds[rows[rows >= 0]]).any(axis=0) & self.alive
        else:
            codes, seconds = block.codes, block.seconds
            rows = _rows_of(np.where(block.own, codes, 0), steps)
            some = block.columns.counted & self.alive[block.job]
        at = np.flatnonzero(some)[-most:]
        found = np.full((len(at), len(steps)), np.nan, np.float32)
        for column, row in enumerate(rows):
            if row >= 0:
                found[:, column] = seconds[row, at]
        return found

    def last(self, most: int, words: Mapping[int, str]) -> list[Whole]:
        """The last jobs, those with an estimated time left out, the oldest first."""
        doubtful = np.zeros(len(self.seq), np.bool_)
        for block in self.blocks.values():
            doubtful[block.job[block.columns.estimated]] = True
        at = np.flatnonzero(self.alive & ~doubtful)[-most:]
        place = np.full(len(self.seq), -1, np.int64)
        place[at] = np.arange(len(at))
        own: list[list[tuple[str, float]]] = [[] for _ in at]
        shared_s = np.zeros(len(at))
        for code, block in self.blocks.items():
            mine = np.flatnonzero(place[block.job] >= 0)
            where = place[block.job[mine]]
            columns = block.columns
            np.add.at(shared_s, where, columns.shared_s[mine] + columns.waited_s[mine])
            for one, seconds in zip(where.tolist(), columns.own_s[mine].tolist(), strict=True):
                own[one].append((words[code], seconds))
        pauses_s = self.head["pauses_ms"][at, : len(PAUSES)].sum(axis=1) / 1000
        finished = self.head["finished_ms"][at].tolist()
        return [
            Whole(*one) for one in zip(finished, map(tuple, own), shared_s.tolist(), pauses_s.tolist(), strict=True)
        ]

    def rows(self, calibration: int, asked: Asked, codes: Mapping[str, int]) -> tuple[Block, Ints | None] | None:
        """This calibration's block, and which of its jobs are meant (None for all); None where none is."""
        block = self.blocks.get(calibration)
        if block is None:
            return None
        at = block.meant(asked, codes, self.living)
        return None if at is not None and not len(at) else (block, at)

    @classmethod
    def merged(cls, parts: "Sequence[Part]") -> "Part":
        """Several parts as one, so that a look goes through one block a calibration."""
        before = np.cumsum([0, *(len(part.seq) for part in parts)])[:-1].tolist()
        blocks = {}
        for code in sorted({code for part in parts for code in part.blocks}):
            some = [(part.blocks[code], more) for part, more in zip(parts, before, strict=True) if code in part.blocks]
            blocks[code] = merged(*zip(*some, strict=True)) if len(some) > 1 else _moved(*some[0])
        return cls(
            np.concatenate([part.seq for part in parts]),
            np.concatenate([part.alive for part in parts]),
            np.concatenate([part.head for part in parts]),
            blocks,
            Shared.merged([part.shared for part in parts]),
        )


def _moved(block: Block, before: int) -> Block:
    return replace(block, job=block.job + np.uint32(before))


def _rows_of(codes: Ints, steps: Sequence[int]) -> Ints:
    """At which place of `codes` each of these steps stands, -1 where it does not."""
    place = {int(code): number for number, code in enumerate(codes)}
    return np.array([place.get(step, -1) for step in steps], np.int64)


def part_of(rows: Sequence[Any]) -> Part:
    """The part that these rows of packed_time make: seq, replaces, and the packed parts of each."""
    seq, _, heads, types, steps, causes = zip(*rows, strict=True)
    counts = tuple(
        np.fromiter((len(one) // kind.itemsize for one in column), np.int64, len(rows))
        for column, kind in ((types, TYPE), (steps, STEP), (causes, CAUSE))
    )
    return Part.of(
        np.array(seq, np.int64),
        np.frombuffer(b"".join(heads), HEAD),
        counts,
        np.frombuffer(b"".join(types), TYPE),
        np.frombuffer(b"".join(steps), STEP),
        np.frombuffer(b"".join(causes), CAUSE),
    )


def without(part: Part, replaced: Sequence[int]) -> Part:
    """The same, but for jobs whose times were written again."""
    gone = np.isin(part.seq, np.array(replaced, np.int64))
    return replace(part, alive=part.alive & ~gone) if gone.any() else part
