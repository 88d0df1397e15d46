"""One job that was gone through, told again as many: the same taps in the same order, each time with times of its own.

To go through a sheet takes a fifth of a second; so a history of a hundred thousand jobs is told from a few hundred.
What a tap says, which readings it holds and what the scan tool answered stay as they were decided; when it happened,
how long it took and who did it are new. So the journal of a job that was retold folds like any other.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from webapp.core.events import Event, new_id
from webapp.core.fold import apply, current_step
from webapp.core.sheet import Sheet
from webapp.core.state import JobState, replace
from webapp.core.timing import job_times

Row = dict[str, Any]
Milliseconds = NDArray[np.int64]

NOISE = 0.22
"""The spread (of a log-normal) of each single interval about what it was in the job that is retold."""
PAUSE_NOISE = 0.6
OUTLIER = 0.012
"""So many jobs have one step that took five to fifteen times as long, as happens."""
NEXT_DAY_MS = 11 * 3600 * 1000
"""No single interval is longer: nobody works at one step for a night."""


@dataclass(frozen=True)
class Pattern:
    """A job that was gone through. `gaps_ms` lie before each event; `goes_to` says where each was counted.

    That is ("worked" or "waited", step) or ("pause", reason), or None where nothing was counted. `paced` marks the
    intervals that hang on who works, and how practised they are: countdowns and pauses do not.
    """

    sheet_hash: str
    sheet: Sheet
    state: JobState
    rows: tuple[Row, ...]
    gaps_ms: Milliseconds
    goes_to: tuple[tuple[str, str] | None, ...]
    sections: tuple[str, ...]
    paced: NDArray[np.bool_]
    paused: NDArray[np.bool_]
    boots: NDArray[np.int64]
    failed: frozenset[str]
    estimated: bool

    @property
    def calibrations(self) -> list[str]:
        return [one["id"] for one in self.sheet["calibrations"]]


@dataclass(frozen=True)
class Telling:
    """What is this job's own: its name, when it began (Unix milliseconds), on which device and from which seq, by whom.

    `pace` says for each section how much longer than in the pattern this person takes.
    """

    job: str
    begin_ms: int
    device: str
    first_seq: int
    person: str
    pace: Mapping[str, float]


def pattern(sheet_hash: str, sheet: Sheet, events: list[Event]) -> Pattern:
    """Take a finished job apart, so that it can be told again."""
    state = JobState(current=current_step(sheet, {}, {}))
    sections = {step["id"]: step["section"] for step in sheet["steps"]}
    gaps: list[int] = []
    goes_to: list[tuple[str, str] | None] = []
    boots: list[int] = []
    at_ms = _unix_ms(events[0])
    for event in events:
        after = apply(sheet, state, event)
        boots.append(len(boots) if state.clock is None or state.clock.boot != event.boot else boots[-1])
        gaps.append(_unix_ms(event) - at_ms)
        goes_to.append(_counted(state, after))
        at_ms, state = _unix_ms(event), after
    times = job_times(sheet, state)
    waits = {step["id"] for step in sheet["steps"] if step["kind"] == "wait"}
    return Pattern(
        sheet_hash=sheet_hash,
        sheet=sheet,
        state=state,
        rows=tuple(_row(event) for event in events),
        gaps_ms=np.array(gaps, np.int64),
        goes_to=tuple(goes_to),
        sections=tuple(sections.get(place[1], "") if place else "" for place in goes_to),
        paced=np.array([place is not None and place[0] != "pause" and place[1] not in waits for place in goes_to]),
        paused=np.array([place is not None and place[0] == "pause" for place in goes_to]),
        boots=np.array(boots, np.int64),
        failed=frozenset(one.calibration for one in times.calibrations if one.first_time is False),
        estimated=times.estimated,
    )


def retell(told: Pattern, by: Telling, dice: np.random.Generator) -> tuple[list[Row], JobState]:
    """Return the rows of the new job's journal, and the state that they fold to."""
    gaps = _gaps(told, by, dice)
    since = np.cumsum(gaps)
    at_ms = by.begin_ms + since
    mono_ms = int(dice.integers(500_000, 40_000_000)) + since
    noise = dice.integers(0, 1 << 37, size=(len(gaps), 2))
    at = np.datetime_as_string(at_ms.astype("datetime64[ms]"))
    boot = f"boot-{by.job[-12:]}"
    rows = [
        row
        | {
            "id": new_id(unix_ms, (int(high) << 37) | int(low)),
            "job": by.job,
            "device": by.device,
            "seq": by.first_seq + number,
            "at": f"{instant}Z",
            "mono_s": mono / 1000,
            "boot": f"{boot}-{of_boot}",
            "person": by.person,
        }
        for number, (row, unix_ms, instant, mono, of_boot, (high, low)) in enumerate(
            zip(told.rows, at_ms.tolist(), at, mono_ms.tolist(), told.boots.tolist(), noise.tolist(), strict=True)
        )
    ]
    return rows, _state(told, gaps, rows[0]["at"], rows[-1]["at"], by.person)


def _gaps(told: Pattern, by: Telling, dice: np.random.Generator) -> Milliseconds:
    pace = np.array([by.pace.get(section, 1.0) for section in told.sections])
    spread = np.where(told.paused, PAUSE_NOISE, NOISE)
    factor = np.exp(dice.standard_normal(len(pace)) * spread)
    factor = np.where(told.paced, factor * pace, np.where(told.paused, factor, 1.0))
    if dice.random() < OUTLIER and told.paced.any():
        factor[dice.choice(np.flatnonzero(told.paced))] *= dice.uniform(5, 15)
    scaled = np.rint(told.gaps_ms * factor).astype(np.int64)
    return np.where(told.gaps_ms > 0, np.clip(scaled, 1, NEXT_DAY_MS), 0)


def _state(told: Pattern, gaps: Milliseconds, began: str, ended: str, person: str) -> JobState:
    spent: dict[tuple[str, str], int] = {}
    for place, ms in zip(told.goes_to, gaps.tolist(), strict=True):
        if place is not None:
            spent[place] = spent.get(place, 0) + ms
    steps = {
        name: replace(
            step,
            worked_s=spent.get(("worked", name), 0) / 1000,
            waited_s=spent.get(("waited", name), 0) / 1000,
        )
        for name, step in told.state.steps.items()
    }
    pauses = {reason: spent[("pause", reason)] / 1000 for reason in told.state.pauses_s}
    return replace(told.state, steps=steps, pauses_s=pauses, started_at=began, ended_at=ended, ended_by=person)


def _counted(before: JobState, after: JobState) -> tuple[str, str] | None:
    """Where the fold put the time between two events: whichever of its sums has grown."""
    for reason, seconds in after.pauses_s.items():
        if seconds != before.pauses_s.get(reason, 0.0):
            return "pause", reason
    name = before.current
    if name is None:
        return None
    was, now = before.step(name), after.step(name)
    if now.waited_s != was.waited_s:
        return "waited", name
    return ("worked", name) if now.worked_s != was.worked_s else None


def _row(event: Event) -> Row:
    row = {name: getattr(event, name) for name in Event.__slots__}
    return row | {"data": json.dumps(event.data, ensure_ascii=False, separators=(",", ":"))}


def _unix_ms(event: Event) -> int:
    return int(np.datetime64(event.at.removesuffix("Z"), "ms").astype(np.int64))
