"""From the rows of finished jobs to the figures that a page shows.

Statistics are made of the jobs that count: the scan tool said done, and no clock broke on the way. The others are
shown and counted beside them, never dropped in silence.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from webapp.core.state import PAUSES
from webapp.core.statistics import Rate, Summary, pass_rate, summary
from webapp.storage.tables import JobTime, StepTime

from .charts import Axis, Strip, Value, axis_for, strip


@dataclass(frozen=True)
class TypeFigures:
    """One calibration type: `rows` are all that are meant, in order; the summaries are of those that count."""

    calibration: str
    rows: list[JobTime]
    counted: list[JobTime]
    whole: Summary | None
    own: Summary | None
    shared: Summary | None
    rate: Rate

    @property
    def left_out(self) -> int:
        """How many jobs are shown and counted, and not in the statistics."""
        return len(self.rows) - len(self.counted)


def counts(row: JobTime) -> bool:
    """Whether this job's times go into the statistics."""
    return row.outcome == "done" and not row.estimated


def whole_s(row: JobTime) -> float:
    """The calibration's cycle time: its own steps and its share of the shared set-up."""
    return row.own_s + row.shared_s


def type_figures(calibration: str, rows: Sequence[JobTime]) -> TypeFigures:
    mine = [row for row in rows if row.calibration == calibration]
    counted = [row for row in mine if counts(row)]
    tried = [row for row in mine if row.first_time_pass is not None]
    return TypeFigures(
        calibration=calibration,
        rows=mine,
        counted=counted,
        whole=summary([whole_s(row) for row in counted]),
        own=summary([row.own_s for row in counted]),
        shared=summary([row.shared_s for row in counted]),
        rate=pass_rate(sum(bool(row.first_time_pass) for row in tried), len(tried)),
    )


def values_of(
    rows: Sequence[JobTime], seconds: Callable[[JobTime], float] = whole_s, label: Callable[[JobTime], str] = str
) -> list[Value]:
    """The jobs' times as a chart draws them; what was not brought to an end has none."""
    return [
        Value(
            seconds=seconds(row),
            mark="estimated" if row.estimated else "again" if row.first_time_pass is False else "job",
            job=row.job,
            label=label(row),
        )
        for row in rows
        if row.outcome == "done"
    ]


def common_axis(types: Sequence[TypeFigures]) -> Axis:
    return axis_for([value for one in types for value in values_of(one.rows)])


SHOWN = 7


@dataclass(frozen=True)
class Line:
    """Where some of the time goes: a step, a wait, a pause. `n` jobs had it; `seconds` holds those that count."""

    name: str
    n: int
    found: Summary | None
    strip: Strip
    again: int = 0


@dataclass(frozen=True)
class Part:
    """Lines that belong together, the longest median first, on one axis."""

    lines: tuple[Line, ...]

    @property
    def longest(self) -> tuple[Line, ...]:
        """The few that a page shows at once: all of them where that folds away no more than one."""
        return self.lines if len(self.lines) <= SHOWN + 1 else self.lines[:SHOWN]

    @property
    def others(self) -> tuple[Line, ...]:
        return self.lines[len(self.longest) :]


def own_steps(calibration: str, steps: Sequence[StepTime]) -> Part:
    return _part(_by_step([step for step in steps if step.calibration == calibration], lambda step: step.seconds))


def one_step(name: str, steps: Sequence[StepTime]) -> Line:
    """One step by itself: its whole time in each job, not divided."""
    (line,) = _part([one for one in _by_step(steps, lambda step: step.seconds) if one[0] == name]).lines
    return line


def shared_steps(calibration: str, steps: Sequence[StepTime]) -> Part:
    """The set-up's steps with this calibration's share of each."""
    shared = [step for step in steps if step.calibration is None and calibration in step.serves]
    return _part(_by_step(shared, lambda step: step.seconds / len(step.serves)))


def waits(calibration: str, steps: Sequence[StepTime]) -> Part:
    """The steps that were held for a countersign, and for how long."""
    held = [step for step in steps if step.waited_s > 0 and calibration in step.serves]
    return _part(_by_step(held, lambda step: step.waited_s))


def pauses(rows: Sequence[JobTime]) -> Part:
    """The jobs' pauses by reason."""
    grouped: dict[str, list[Value]] = defaultdict(list)
    for row in rows:
        for reason in PAUSES:
            if (seconds := row.pauses_s.get(reason, 0.0)) > 0:
                grouped[reason].append(Value(seconds, "estimated" if row.estimated else "job", row.job))
    return _part([(reason, values, 0) for reason, values in grouped.items()])


Grouped = list[tuple[str, list[Value], int]]


def _by_step(steps: Sequence[StepTime], seconds: Callable[[StepTime], float]) -> Grouped:
    grouped: dict[str, list[StepTime]] = defaultdict(list)
    for step in steps:
        grouped[step.step].append(step)
    return [
        (
            name,
            [Value(seconds(one), "estimated" if one.estimated else "job", one.job) for one in mine],
            sum(one.attempts > 1 for one in mine),
        )
        for name, mine in grouped.items()
    ]


def _part(grouped: Grouped) -> Part:
    """Sorted by median, longest first; what has too few jobs for one comes after, by its longest."""
    known = [
        (name, values, again, summary([value.seconds for value in values if value.mark != "estimated"]))
        for name, values, again in grouped
    ]
    reach = max((found.p80_interval.high or found.p80 for *_, found in known if found), default=0.0)
    axis = axis_for([value for _, values, _ in grouped for value in values], reach)
    known.sort(key=lambda one: (one[3] is None, -one[3].median if one[3] else -max(value.seconds for value in one[1])))
    return Part(
        tuple(Line(name, len(values), found, strip(values, axis, found), again) for name, values, again, found in known)
    )
