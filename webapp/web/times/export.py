"""The same rows as a file (RFC 4180, UTF-8), so that a shop can do its own sums. Seconds, dots as decimal signs.

There is no person and no VIN in it: times are about the work.
"""

import csv
from collections.abc import Iterable, Mapping
from io import StringIO

from webapp.core.state import PAUSES
from webapp.storage.tables import JobTime, StepTime

# The time after the last step, until the job is finished, belongs to no step; it is kept beside the pauses.
REASONS = (*PAUSES, "finishing")

Cell = str | float | int | bool | None

JOB_COLUMNS = (
    "job",
    "repair_order",
    "finished_at",
    "calibration",
    "revision",
    "vehicle",
    "bay",
    "placing",
    "own_s",
    "shared_s",
    "waited_s",
    *(f"pause_{reason.replace('-', '_')}_s" for reason in REASONS),
    "outcome",
    "first_time",
    "estimated",
)
STEP_COLUMNS = (
    "job",
    "repair_order",
    "section",
    "revision",
    "step",
    "serves",
    "worked_s",
    "waited_s",
    "attempts",
    "estimated",
)


def jobs_csv(rows: Iterable[JobTime], repair_orders: Mapping[str, str]) -> str:
    """One line a calibration of a job. Pauses are the whole job's, and so are the same on each of its lines."""
    return _csv(JOB_COLUMNS, (_job_cells(row, repair_orders) for row in rows))


def steps_csv(rows: Iterable[StepTime], repair_orders: Mapping[str, str]) -> str:
    """One line a step of a job. A shared step stands once, with the calibrations that share it."""
    return _csv(
        STEP_COLUMNS,
        (
            (
                row.job,
                repair_orders.get(row.job),
                row.section,
                row.revision,
                row.step,
                " ".join(row.serves),
                row.seconds,
                row.waited_s,
                row.attempts,
                row.estimated,
            )
            for row in rows
        ),
    )


def _job_cells(row: JobTime, repair_orders: Mapping[str, str]) -> tuple[Cell, ...]:
    return (
        row.job,
        repair_orders.get(row.job),
        row.finished_at,
        row.calibration,
        row.revision,
        row.vehicle,
        row.bay,
        row.placing,
        row.own_s,
        row.shared_s,
        row.waited_s,
        *(row.pauses_s.get(reason, 0.0) for reason in REASONS),
        row.outcome,
        row.first_time_pass,
        row.estimated,
    )


def _csv(columns: tuple[str, ...], rows: Iterable[tuple[Cell, ...]]) -> str:
    text = StringIO()
    writer = csv.writer(text)
    writer.writerow(columns)
    writer.writerows([_spelled(cell) for cell in row] for row in rows)
    return text.getvalue()


def _spelled(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.3f}"
    text = str(cell)
    # A spreadsheet would run a typed text that begins like this as a formula.
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
