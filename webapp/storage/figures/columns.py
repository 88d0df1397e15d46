"""The columns of all jobs, and what is asked of them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from webapp.storage.figures.asked import Asked
from webapp.storage.figures.block import Block
from webapp.storage.figures.found import NO_TYPES, Extra, Ints, Steps, Types, Whole, in_order
from webapp.storage.figures.part import Part
from webapp.storage.packed import NO_WORD


@dataclass(frozen=True)
class Figures:
    """What one process holds: parts, the words of their numbers, and up to which seq it has read. Never changed."""

    parts: tuple[Part, ...] = ()
    codes: dict[str, int] = field(default_factory=dict)
    last: int = 0

    @cached_property
    def words(self) -> dict[int, str]:
        return {code: word for word, code in self.codes.items()}

    @property
    def jobs(self) -> int:
        return sum(int(part.alive.sum()) for part in self.parts)

    def calibrations(self) -> list[str]:
        """Every calibration that there are times of."""
        return sorted({self.words[code] for part in self.parts for code in part.blocks})

    def types(self, asked: Asked, calibrations: Iterable[str] | None = None) -> dict[str, Types]:
        """The calibrations of the jobs that are meant, those without any left out."""
        found = {}
        for name in self.calibrations() if calibrations is None else calibrations:
            rows = self._rows(asked, name)
            if rows:
                found[name] = Types([(block.columns, at) for block, at in rows])
        return found

    def none(self) -> Types:
        """What `types` would say of a calibration that no job has."""
        return NO_TYPES

    def steps(self, asked: Asked, calibration: str) -> list[Steps]:
        """The steps of this calibration, its own and its share of the shared ones, in the jobs that are meant."""
        found: dict[tuple[int, bool], list[NDArray[np.float32]]] = {}
        for block, at in self._rows(asked, calibration):
            for code, own, some in block.in_order(at):
                if len(some):
                    found.setdefault((code, own), []).append(some)
        return [Steps(self.words[code], own, in_order(pieces)) for (code, own), pieces in found.items()]

    def beside(self, asked: Asked, calibration: str) -> list[Extra]:
        """What happened beside the work at the steps that serve this calibration, in the jobs that are meant."""
        found: dict[int, list[Extra]] = {}
        for block, at in self._rows(asked, calibration):
            all_, keeps = block.beside, block.keeps(at, block.beside.at)
            for code, where in all_.runs():
                kept = where if isinstance(keeps, slice) else where.start + np.flatnonzero(keeps[where])
                waited_s = all_.waited_s[kept]
                if len(waited_s):
                    again, failures, wrong = (int(one[kept].sum()) for one in (all_.again, all_.failed, all_.wrong))
                    extra = Extra(self.words[code], again, failures, wrong, waited_s[waited_s > 0])
                    found.setdefault(code, []).append(extra)
        return [
            Extra(
                some[0].step,
                sum(one.again for one in some),
                sum(one.failures for one in some),
                sum(one.wrong for one in some),
                in_order([one.waited_s for one in some]),
            )
            for _, some in sorted(found.items())
        ]

    def countersigned(self, asked: Asked, calibration: str) -> int:
        """In how many of the jobs that are meant one of this calibration's own steps waited for a countersign."""
        found = 0
        for block, at in self._rows(asked, calibration):
            signed = (block.beside.waited_s > 0) & np.isin(block.beside.step, block.codes[block.own])
            mine = block.beside.at[signed]
            found += len(np.unique(mine[block.keeps(at, mine)]))
        return found

    def causes(self, asked: Asked, calibration: str) -> dict[str, int]:
        """What was found to be wrong at this calibration's own steps in the jobs that are meant, and how often."""
        found: dict[str, int] = {}
        for block, at in self._rows(asked, calibration):
            mine = block.causes[block.keeps(at, block.cause_at)]
            for code, count in zip(*np.unique(mine, return_counts=True), strict=True):
                word = self.words[int(code)]
                found[word] = found.get(word, 0) + int(count)
        return found

    def _rows(self, asked: Asked, calibration: str) -> list[tuple[Block, Ints | None]]:
        """Each part's block of this calibration, and which of its jobs are meant; None for all."""
        code = self.codes.get(calibration, -1)
        found = (part.rows(code, asked, self.codes) for part in self.parts)
        return [one for one in found if one]

    def whole(self, section: str, steps: Sequence[str], most: int) -> NDArray[np.float32]:
        """Whole seconds at these steps of a calibration or of shared work, a row a job: the last `most` that count."""
        calibration, wanted = self.codes.get(section, -1), [self.codes.get(step, -1) for step in steps]
        found: list[NDArray[np.float32]] = []
        left = most
        for part in reversed(self.parts):
            if left > 0:
                found.append(part.whole(calibration, wanted, left))
                left -= len(found[-1])
        return np.concatenate(found) if found else np.zeros((0, len(steps)), np.float32)

    def recent(self, most: int) -> list[Whole]:
        """The last `most` jobs, those with an estimated time left out, the oldest first."""
        found: list[Whole] = []
        for part in reversed(self.parts):
            if len(found) < most:
                found = part.last(most - len(found), self.words) + found
        return found

    def choices(self, calibration: str | None = None) -> dict[str, list[Any]]:
        """The values that the filters may take: what the jobs differ in."""
        found: dict[str, set[Any]] = {name: set() for name in ("vehicle", "bay", "person", "placing", "revision")}
        wanted = None if calibration is None else self.codes.get(calibration, -1)
        for part in self.parts:
            for code, differ in part.differ.items():
                if wanted is None or code == wanted:
                    for name in ("vehicle", "bay", "person", "placing"):
                        found[name].update(self.words[one] for one in differ[name] if one != NO_WORD)
                    found["revision"].update(differ["revision"])
        return {name: sorted(values) for name, values in found.items()}
