"""The same rows as files, so that a shop can do its own sums: CSV (RFC 4180, UTF-8) and Parquet. Times in seconds.

There is no person and no VIN in them: times are about the work. Rows come from the database and go out a few thousand
at a time, so that millions take no more memory than a page.
"""

import csv
from collections.abc import Callable, Iterable, Iterator
from datetime import datetime
from io import StringIO
from itertools import islice
from typing import BinaryIO

from sqlalchemy import RowMapping

from webapp.core.state import PAUSES
from webapp.messages import english

# The time after the last step, until the job is finished, belongs to no step; it is kept beside the pauses.
REASONS = (*PAUSES, "finishing")

Cell = str | float | int | bool | list[str] | datetime | None
Cells = Callable[[RowMapping], tuple[Cell, ...]]

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
    "failures",
    "wrong_scans",
    "causes",
    "estimated",
)
COLUMNS = {"jobs": JOB_COLUMNS, "steps": STEP_COLUMNS}
TOGETHER, GROUP = 1000, 50_000
"""So many lines of CSV are sent at a time, and so many rows make a group of a Parquet file."""


def job_cells(row: RowMapping) -> tuple[Cell, ...]:
    """One line a calibration of a job. Pauses are the whole job's, and so are the same on each of its lines."""
    return (
        row["job"],
        row["repair_order"],
        datetime.fromisoformat(row["finished_at"]),
        row["calibration"],
        row["revision"],
        row["vehicle"],
        row["bay"],
        row["placing"],
        row["own_s"],
        row["shared_s"],
        row["waited_s"],
        *(row["pauses_s"].get(reason, 0.0) for reason in REASONS),
        row["outcome"],
        None if row["first_time_pass"] is None else bool(row["first_time_pass"]),
        bool(row["estimated"]),
    )


def step_cells(row: RowMapping) -> tuple[Cell, ...]:
    """One line a step of a job. A shared step stands once, with the calibrations that share it."""
    return (
        row["job"],
        row["repair_order"],
        row["section"],
        row["revision"],
        row["step"],
        row["serves"],
        row["seconds"],
        row["waited_s"],
        row["attempts"],
        row["failures"],
        row["wrong_scans"],
        row["causes"],
        bool(row["estimated"]),
    )


CELLS: dict[str, Cells] = {"jobs": job_cells, "steps": step_cells}


def csv_text(what: str, rows: Iterable[RowMapping]) -> Iterator[str]:
    """The file `jobs` or `steps` as CSV, piece by piece."""
    cells, left = CELLS[what], iter(rows)
    yield lines([COLUMNS[what]])
    while some := list(islice(left, TOGETHER)):
        yield lines([spelled(cell) for cell in cells(row)] for row in some)


def write_parquet(what: str, rows: Iterable[RowMapping], file: BinaryIO) -> None:
    """Write the file `jobs` or `steps` as Parquet. Each column says in its metadata what it means."""
    import pyarrow as pa  # takes a fifth of a second to load, which only who wants such a file needs
    from pyarrow.parquet import ParquetWriter

    meanings = {name: english(f"times-column-{name.replace('_', '-')}") for name in COLUMNS[what]}
    schema = pa.schema([pa.field(name, _type(name), metadata={"description": meanings[name]}) for name in meanings])
    cells, left = CELLS[what], iter(rows)
    with ParquetWriter(file, schema, compression="zstd") as writer:
        while some := list(islice(left, GROUP)):
            columns = zip(*(cells(row) for row in some), strict=True)
            arrays = [pa.array(column, kind.type) for column, kind in zip(columns, schema, strict=True)]
            writer.write_table(pa.Table.from_arrays(arrays, schema=schema))


def _type(name: str) -> object:
    import pyarrow as pa

    if name.endswith("_s"):
        return pa.float64()
    if name in ("revision", "attempts", "failures", "wrong_scans"):
        return pa.int32()
    if name in ("first_time", "estimated"):
        return pa.bool_()
    if name in ("serves", "causes"):
        return pa.list_(pa.string())
    return pa.timestamp("ms", tz="UTC") if name == "finished_at" else pa.string()


def lines(rows: Iterable[Iterable[object]]) -> str:
    """Rows as CSV (RFC 4180)."""
    text = StringIO()
    csv.writer(text).writerows(rows)
    return text.getvalue()


def spelled(cell: Cell) -> str:
    """A cell as the file has it."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float):
        return f"{cell:.3f}"
    if isinstance(cell, datetime):
        return cell.isoformat(timespec="milliseconds").replace("+00:00", "Z")
    text = "; ".join(cell) if isinstance(cell, list) else str(cell)
    # A spreadsheet would run a typed text that begins like this as a formula.
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text
