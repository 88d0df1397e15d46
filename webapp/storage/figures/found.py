"""What is found of the jobs that are meant: columns with a value a job."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from webapp.storage.packed import OUTCOMES, REASONS

Ints = NDArray[Any]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

DONE = OUTCOMES.index("done")


@dataclass(frozen=True)
class Types:
    """One calibration of the jobs that are meant, a value a job, in the order in which they were finished.

    `first` is 0 where a run had failed, 1 where none had, 2 where the scan tool gave no verdict; `pauses_ms` has a
    column for each of `packed.REASONS`.
    """

    seq: Ints
    finished_ms: Ints
    own_s: Floats
    shared_s: Floats
    outcome: Ints
    first: Ints
    estimated: Bools
    revision: Ints
    pauses_ms: Ints

    def __len__(self) -> int:
        return len(self.seq)

    @cached_property
    def counted(self) -> Bools:
        """Which of them go into the statistics: done, and no clock broke on the way."""
        return np.asarray((self.outcome == DONE) & ~self.estimated)

    @cached_property
    def whole_s(self) -> Floats:
        return self.own_s + self.shared_s

    def only(self, which: Bools | Ints | slice) -> "Types":
        """Some of these jobs."""
        return Types(*(getattr(self, name)[which] for name in self.__dataclass_fields__))


@dataclass(frozen=True)
class Steps:
    """One step in the jobs that are meant and not estimated: seconds at it, where it was done at all.

    A step of the shared set-up (`own` is False) counts with the share that this calibration bears of it.
    """

    step: str
    own: bool
    seconds: NDArray[np.float32]


@dataclass(frozen=True)
class Extra:
    """What happened at a step beside the work, in how many jobs: begun again, failed runs, wrong labels, holds.

    `waited_s` has the seconds that it was held for a countersign, in each job where it was.
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


NO_TYPES = Types(*(np.zeros(0),) * 6, np.zeros(0, np.bool_), np.zeros(0), np.zeros((0, len(REASONS))))
