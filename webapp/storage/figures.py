"""All finished jobs' times as columns in memory, from which a page's figures are worked out anew each time.

Chosen by measurement (tests/bench/times.py): with a hundred thousand jobs a filtered overview is worked out in a few
milliseconds and exactly, where the same question takes SQL a second or more, and no filter has to be foreseen.

Each process reads the packed rows once and from then on only those that are new, at each look. What is new is kept as
small parts beside the large one until there is enough of it to be worth sorting in.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from threading import Lock
from typing import Any
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import select
from sqlalchemy.engine import Engine
from sqlmodel import Session

from webapp.storage.packed import CAUSE, HEAD, NO_WORD, OUTCOMES, PARTS, REASONS, STEP, TYPE, unix_ms
from webapp.storage.time_tables import PackedTime, Word

Ints = NDArray[Any]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

DONE = OUTCOMES.index("done")
MOST_SMALL = 8
"""With so many small parts they are put together."""
AT_ONCE = 20_000
"""So many jobs make a part at most: what reading them takes beside is freed again."""
SMALL = 5000
"""A part of fewer jobs than this is a small one."""


@dataclass(frozen=True)
class Asked:
    """Which finished jobs are meant; None asks for all. Instants as in the journal: `since` is in, `until` is out."""

    since: str | None = None
    until: str | None = None
    vehicle: str | None = None
    bay: str | None = None
    person: str | None = None
    placing: str | None = None
    revision: int | None = None


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
class Block:
    """One calibration of a part's jobs, in the order in which they were finished: its records, and a row for each step
    with the seconds in each of those jobs, not a number where it was not done.

    `beside` are the few steps with something beside the work, `beside_at` in which of the jobs each was; so `causes`.
    """

    job: Ints
    records: Ints
    codes: Ints
    own: Bools
    seconds: NDArray[np.float32]
    beside: Ints
    beside_at: Ints
    causes: Ints
    cause_at: Ints


@dataclass(frozen=True)
class Part:
    """Some of the jobs: what is known of each, and a block a calibration."""

    seq: Ints
    alive: Bools
    head: Ints
    blocks: dict[int, Block]

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
            caused = np.flatnonzero(np.isin(causes["step"], codes[own]))
            of_job = np.full(len(seq), -1, np.int64)
            of_job[type_job[mine]] = np.arange(len(mine))
            caused = caused[of_job[cause_job[caused]] >= 0]
            blocks[int(code)] = Block(
                job=type_job[mine],
                records=types[mine],
                codes=codes,
                own=own,
                seconds=seconds,
                beside=steps[of_step[beside]],
                beside_at=in_job[beside].astype(np.uint32),
                causes=causes["cause"][caused],
                cause_at=of_job[cause_job[caused]],
            )
        return cls(seq=seq, alive=np.ones(len(seq), np.bool_), head=head, blocks=blocks)

    def meant(self, asked: Asked, codes: dict[str, int]) -> Bools:
        """Which of the jobs are meant, but for the revision, which is each calibration's own."""
        found = self.alive.copy()
        for name in ("vehicle", "bay", "person", "placing"):
            if (word := getattr(asked, name)) is not None:
                found &= self.head[name] == codes.get(word, -1)
        if asked.since:
            found &= self.head["finished_ms"] >= unix_ms(asked.since)
        if asked.until:
            found &= self.head["finished_ms"] < unix_ms(asked.until)
        return found

    @cached_property
    def differ(self) -> dict[int, dict[str, list[int]]]:
        """For each calibration, which vehicles, bays, people, placings and revisions its jobs have."""
        found = {}
        for code, block in self.blocks.items():
            columns = {name: self.head[name][block.job] for name in ("vehicle", "bay", "person", "placing")}
            columns["revision"] = block.records["revision"]
            found[code] = {name: np.flatnonzero(np.bincount(column)).tolist() for name, column in columns.items()}
        return found

    def rows(self, calibration: int, meant: Bools, revision: int | None) -> tuple[Block, Ints] | None:
        """This calibration's block, and which of its jobs are meant; None where none is."""
        block = self.blocks.get(calibration)
        if block is None:
            return None
        found = meant[block.job]
        if revision is not None:
            found = found & (block.records["revision"] == revision)
        at = np.flatnonzero(found)
        return (block, at) if len(at) else None


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


NO_TYPES = Types(*(np.zeros(0),) * 6, np.zeros(0, np.bool_), np.zeros(0), np.zeros((0, len(REASONS))))


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


_held: WeakKeyDictionary[Engine, Figures] = WeakKeyDictionary()
_door = Lock()


def figures(db: Session) -> Figures:
    """The figures of all jobs that this transaction sees finished."""
    engine = db.get_bind().engine
    with _door:
        held = _held.get(engine) or Figures()
        held = _held[engine] = _refreshed(db, held)
    return held


def _refreshed(db: Session, held: Figures) -> Figures:
    parts, last = list(held.parts), held.last
    if not _is_more(db, last):
        return held
    large = [part for part in parts if len(part.seq) >= SMALL]
    if len(parts) - len(large) >= MOST_SMALL:
        # A look goes through every part: many small ones are read once more, as one.
        parts, last = large, int(large[-1].seq[-1]) if large else 0
    while rows := _read(db, last):
        last = int(rows[-1][0])
        replaced = [one for _, one, *_ in rows if one is not None]
        parts.append(_part(rows))
        if replaced:
            parts = [_without(part, replaced) for part in parts]
    words = Word.__table__  # type: ignore[attr-defined]
    codes = dict(tuple(row) for row in db.connection().execute(select(words.c.text, words.c.code)))
    return Figures(tuple(part for part in parts if part.alive.any()), codes, last)


def _is_more(db: Session, after: int) -> bool:
    seq = PackedTime.__table__.c.seq  # type: ignore[attr-defined]
    return db.connection().execute(select(seq).where(seq > after).limit(1)).first() is not None


def _read(db: Session, after: int) -> Sequence[Any]:
    """The next rows, as many as make a part."""
    table = PackedTime.__table__  # type: ignore[attr-defined]
    columns = (table.c.seq, table.c.replaces, *(table.c[name] for name in PARTS))
    query = select(*columns).where(table.c.seq > after).order_by(table.c.seq).limit(AT_ONCE)
    return db.connection().execute(query).all()


def _part(rows: Sequence[Any]) -> Part:
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


def _without(part: Part, replaced: list[int]) -> Part:
    gone = np.isin(part.seq, np.array(replaced, np.int64))
    return (
        Part(**{**{name: getattr(part, name) for name in part.__dataclass_fields__}, "alive": part.alive & ~gone})
        if gone.any()
        else part
    )
