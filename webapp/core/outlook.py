"""How much work a job in progress still has, and whether it runs slower than such jobs usually do.

Both are read off what the shop's own finished jobs took at the very same steps. What one job took at the steps of one
section hangs together, so a section is taken job by job; sections are taken as independent of each other, and their
times are added up by convolution, exactly and without dice. Pauses and waiting for a countersign are not foreseen.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .clock import interval_s
from .fold import SETTLED, applies
from .sheet import Sheet
from .state import Clock, JobState
from .statistics import FEWEST

Floats = NDArray[np.float64]
Past = Callable[[str, Sequence[str]], NDArray[Any]]
"""(section, its steps) -> seconds at each of these steps, a row a finished job, not a number where it was not done."""

BIN_S = 5.0
LONGEST_S = 12 * 3600.0
LOW, MIDDLE, HIGH = 0.07, 0.5, 0.93
"""What is left lies between the first and the last of these in 8 of 10 jobs, as finished ones show when they are looked
at in their middle: a little wider than the figures say, since who is quick at one section is quick at the next."""
SLOW = 0.95
"""Slower than so many of such jobs is much slower than expected."""


@dataclass(frozen=True)
class Spread:
    """Where a time lies: the chance of each bin of `BIN_S`, the first around 0 s."""

    chances: Floats

    def at(self, p: float) -> float:
        """The time in s that is not exceeded with chance p."""
        place = int(np.searchsorted(np.cumsum(self.chances), p - 1e-9))
        return BIN_S * min(place, len(self.chances) - 1)

    def plus(self, values_s: NDArray[Any]) -> "Spread":
        """The sum of this time and of one that took each of these values as often as any other."""
        bins = np.rint(np.clip(values_s, 0, LONGEST_S) / BIN_S).astype(np.int64)
        return Spread(np.convolve(self.chances, np.bincount(bins) / len(bins)))


NOTHING = Spread(np.ones(1))


@dataclass(frozen=True)
class Outlook:
    """`left_s` is (LOW, MIDDLE, HIGH) of the work still to do; `guessed` of its steps are as the procedure has them.

    `so_far_s` was worked at the steps that can be compared, and such jobs took `usual_s` (median) to `most_s` (95 %);
    both are None where nothing can be compared. So for the step in hand: `step_s`, `step_usual_s`, `step_most_s`.
    """

    left_s: tuple[float, float, float]
    guessed: int
    so_far_s: float
    usual_s: float | None
    most_s: float | None
    step_s: float
    step_usual_s: float | None
    step_most_s: float | None

    @property
    def slow(self) -> bool:
        return self.most_s is not None and self.so_far_s > self.most_s

    @property
    def step_slow(self) -> bool:
        return self.step_most_s is not None and self.step_s > self.step_most_s


def outlook(sheet: Sheet, state: JobState, now: Clock, past: Past) -> Outlook:
    """Look ahead from `now` on the shop's clock. The answers that are still to come are taken to be the usual ones."""
    steps = _usual(sheet, state.answers)
    spent, off_s = _spent(steps, state, now)
    left, guessed, compared_s, usual = NOTHING, 0, 0.0, NOTHING
    for section, mine in _by_section(steps):
        to_do = [one for one in mine if state.step(one["id"]).status not in SETTLED]
        for some, values in _pieces(section, to_do, past, _open(sheet, section, state.answers)):
            if values is None:
                guessed += 1
                values = np.array([float(some[0]["expect_s"])])
            in_hand = any(one["id"] == state.current for one in some)
            left = left.plus(np.maximum(values - off_s, 0) if in_hand else values)
        begun = [one for one in mine if spent[one["id"]] and not state.step(one["id"]).estimated]
        for some, values in _pieces(section, begun, past):
            if values is not None:
                usual = usual.plus(values)
                compared_s += sum(spent[one["id"]] for one in some)
    step = next((one for one in steps if one["id"] == state.current and not state.step(one["id"]).estimated), None)
    at_it = next((values for _some, values in _pieces(step["section"], [step], past)), None) if step else None
    return Outlook(
        left_s=(left.at(LOW), left.at(MIDDLE), left.at(HIGH)),
        guessed=guessed,
        so_far_s=compared_s,
        usual_s=None if usual is NOTHING else usual.at(MIDDLE),
        most_s=None if usual is NOTHING else usual.at(SLOW),
        step_s=spent[step["id"]] if step else 0.0,
        step_usual_s=None if at_it is None else float(np.quantile(at_it, MIDDLE)),
        step_most_s=None if at_it is None else float(np.quantile(at_it, SLOW)),
    )


def _spent(steps: Sequence[Sheet], state: JobState, now: Clock) -> tuple[dict[str, float], float]:
    """The seconds at each step up to now, and how much of the step in hand is done with. One begun anew begins at 0."""
    spent = {step["id"]: state.step(step["id"]).worked_s for step in steps}
    if state.current is None or state.current not in spent:
        return spent, 0.0
    known, fresh_s = state.step(state.current), 0.0
    if known.status != "held" and not state.paused and state.clock:
        fresh_s = interval_s(state.clock, now)[0]
        spent[state.current] += fresh_s
    return spent, spent[state.current] if known.attempt == 1 or known.status == "held" else fresh_s


def _usual(sheet: Sheet, given: Mapping[str, str]) -> list[Sheet]:
    """The steps that stand if what is not answered yet is answered as usual: with the first option that goes on."""
    answers, found = dict(given), []
    for step in sheet["steps"]:
        if applies(step, answers):
            found.append(step)
            if step["kind"] == "choose" and step["asks"] not in answers:
                free = [one["value"] for one in step["options"] if not one["blocks"]]
                answers[step["asks"]] = (free or [step["options"][0]["value"]])[0]
    return found


def _by_section(steps: Sequence[Sheet]) -> Iterator[tuple[str, list[Sheet]]]:
    for section in dict.fromkeys(step["section"] for step in steps):
        yield section, [step for step in steps if step["section"] == section]


def _open(sheet: Sheet, section: str, answers: Mapping[str, str]) -> list[str]:
    """The section's steps that hang on an answer which is still to come."""
    return [
        step["id"]
        for step in sheet["steps"]
        if step["section"] == section
        and any(name not in answers for name in step["only_if"])
        and all(answers[name] in values for name, values in step["only_if"].items() if name in answers)
    ]


def _pieces(
    section: str, steps: Sequence[Sheet], past: Past, open_: Sequence[str] = ()
) -> Iterator[tuple[Sequence[Sheet], Floats | None]]:
    """What finished jobs took at these steps together, each with those of the open ones that its answers brought.

    Where too few jobs had all the steps that are no open ones, step by step; None for a step that too few had.
    """
    if not steps:
        return
    sure = [step["id"] for step in steps if step["id"] not in open_]
    took = past(section, [*sure, *open_])
    together = took[np.isfinite(took[:, : len(sure)]).all(axis=1) & np.isfinite(took).any(axis=1)]
    if len(together) >= FEWEST:
        yield steps, np.nansum(together, axis=1)
        return
    took = past(section, [step["id"] for step in steps])
    for column, step in enumerate(steps):
        values = took[:, column][np.isfinite(took[:, column])]
        yield [step], values if len(values) >= FEWEST else None
