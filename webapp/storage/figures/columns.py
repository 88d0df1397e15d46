"""The columns of all jobs, and what is asked of them."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from webapp.storage.figures.asked import Asked
from webapp.storage.figures.found import NO_TYPES, Bools, Extra, Ints, Steps, Types, Whole
from webapp.storage.figures.part import Block, Part
from webapp.storage.packed import NO_WORD, STEP


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
        meant = [part.meant(asked, self.codes) for part in self.parts]
        found = {}
        for name in self.calibrations() if calibrations is None else calibrations:
            one = self._type(self.codes.get(name, -1), meant, asked.revision)
            if len(one):
                found[name] = one
        return found

    def _type(self, code: int, meant: Sequence[Bools], revision: int | None) -> Types:
        found = [
            (part, *rows)
            for part, which in zip(self.parts, meant, strict=True)
            if (rows := part.rows(code, which, revision))
        ]
        if not found:
            return NO_TYPES

        def of_job(column: str) -> Any:
            return _joined(part.head[column][block.job[at]] for part, block, at in found)

        def of_record(column: str) -> Any:
            return _joined(block.records[column][at] for _, block, at in found)

        joined = Types(
            seq=_joined(part.seq[block.job[at]] for part, block, at in found),
            finished_ms=of_job("finished_ms"),
            own_s=of_record("own_s"),
            shared_s=of_record("shared_s"),
            outcome=of_record("outcome"),
            first=of_record("first"),
            estimated=of_record("estimated") != 0,
            revision=of_record("revision"),
            pauses_ms=of_job("pauses_ms"),
        )
        return joined if len(found) == 1 else joined.only(np.argsort(joined.finished_ms, kind="stable"))

    def none(self) -> Types:
        """What `types` would say of a calibration that no job has."""
        return NO_TYPES

    def steps(self, asked: Asked, calibration: str) -> list[Steps]:
        """The steps of this calibration, its own and its share of the shared ones, in the jobs that are meant."""
        found: dict[tuple[int, bool], list[NDArray[np.float32]]] = {}
        for block, at in self._rows(asked, calibration):
            sure = at[block.records["estimated"][at] == 0]
            every = len(sure) == len(block.job)
            for code, own, seconds in zip(block.codes.tolist(), block.own.tolist(), block.seconds, strict=True):
                some = seconds if every else seconds[sure]
                found.setdefault((code, own), []).append(some[~np.isnan(some)])
        made = [Steps(self.words[code], own, _joined(pieces)) for (code, own), pieces in found.items()]
        return [one for one in made if len(one.seconds)]

    def beside(self, asked: Asked, calibration: str) -> list[Extra]:
        """What happened beside the work at the steps that serve this calibration, in the jobs that are meant."""
        pieces = []
        for block, at in self._rows(asked, calibration):
            meant = np.zeros(len(block.job), np.bool_)
            meant[at] = True
            pieces.append(block.beside[meant[block.beside_at]])
        rows = _joined(pieces) if pieces else np.zeros(0, STEP)
        rows = rows[np.argsort(rows["step"], kind="stable")]
        made = []
        for code, where in _runs(rows["step"]).items():
            mine = rows[where]
            held = mine["waited_ms"][mine["waited_ms"] > 0] / 1000
            again, failures, wrong = (
                int((mine[name] > most).sum()) for name, most in (("attempts", 1), ("failures", 0), ("wrong", 0))
            )
            made.append(Extra(self.words[code], again, failures, wrong, held))
        return made

    def countersigned(self, asked: Asked, calibration: str) -> int:
        """In how many of the jobs that are meant one of this calibration's own steps waited for a countersign."""
        found = 0
        for block, at in self._rows(asked, calibration):
            signed = (block.beside["waited_ms"] > 0) & np.isin(block.beside["step"], block.codes[block.own])
            found += len(np.intersect1d(block.beside_at[signed], at))
        return found

    def causes(self, asked: Asked, calibration: str) -> dict[str, int]:
        """What was found to be wrong at this calibration's own steps in the jobs that are meant, and how often."""
        found: dict[str, int] = {}
        for block, at in self._rows(asked, calibration):
            mine = block.causes[np.isin(block.cause_at, at)]
            for code, count in zip(*np.unique(mine, return_counts=True), strict=True):
                word = self.words[int(code)]
                found[word] = found.get(word, 0) + int(count)
        return found

    def _rows(self, asked: Asked, calibration: str) -> list[tuple[Block, Ints]]:
        """Each part's block of this calibration, and which of its jobs are meant."""
        code = self.codes.get(calibration, -1)
        found = (part.rows(code, part.meant(asked, self.codes), asked.revision) for part in self.parts)
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


def _runs(codes: Ints) -> dict[int, slice]:
    """Where each code lies in a sorted column."""
    if not len(codes):
        return {}
    begins = np.flatnonzero(np.concatenate(([True], codes[1:] != codes[:-1])))
    ends = np.append(begins[1:], len(codes))
    return {int(codes[a]): slice(int(a), int(b)) for a, b in zip(begins, ends, strict=True)}


def _joined(columns: Iterable[Ints]) -> Any:
    pieces = list(columns)
    return pieces[0] if len(pieces) == 1 else np.concatenate(pieces)
