"""What the jobs of many shops took, as it was added up (`months`): all calibrations side by side, or one of them.

The jobs of one vehicle model are few, and are added up from their own rows when they are asked for.
"""

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Literal

from sqlalchemy import Connection, RowMapping, text

from webapp.core import portions
from webapp.core.portions import Portion
from webapp.storage.office.added import BINNED, NUMBERS, Row, Sums, added, of_jobs, spent_on, total
from webapp.storage.office.months import JOBS, by

Place = Literal["shop", "region"]
WHOLE_TIMES = ("times",)
MOST_TAKEN_APART = 500
"""Of so many jobs of one vehicle, the latest, the steps are added up."""


@dataclass(frozen=True)
class Asked:
    """Which jobs are meant: of a region, of a shop, of months from `since` to before `until`, of a vehicle, under a
    revision of the procedure, with the target placed in a way; None is any.
    """

    region: str | None = None
    shop: str | None = None
    since: date | None = None
    until: date | None = None
    vehicle: str | None = None
    revision: int | None = None
    placing: str | None = None


@dataclass(frozen=True)
class Type:
    """One calibration at the shops that are meant, and month by month."""

    calibration: str
    sums: Sums
    months: list[tuple[date, Sums]]


@dataclass(frozen=True)
class Choices:
    """What one calibration's jobs at the shops that are seen differ in."""

    vehicles: list[str]
    revisions: list[int]
    placings: list[str]


def overview(db: Connection, asked: Asked) -> list[Type]:
    """Each calibration at the shops that are meant and seen, the most frequent first; of its times the whole alone."""
    rows = _rows(db, asked, binned=WHOLE_TIMES)
    found = [_type(name, some, WHOLE_TIMES) for name, some in _by(rows, "calibration").items()]
    return sorted(found, key=lambda one: (-one.sums.jobs, one.calibration))


def one_type(db: Connection, calibration: str, asked: Asked) -> tuple[Type, dict[int, Sums]]:
    """One calibration, and the same by revision of its procedure; 0 is where the shop did not tell."""
    rows = _rows(db, asked, calibration)
    return _type(calibration, rows, BINNED), _sums(rows, "revision", BINNED)


def places(db: Connection, calibration: str, asked: Asked, which: Place) -> dict[str, Sums]:
    """One calibration by region or by shop, under their names in `office.shop`, and in no order; the whole times."""
    return _sums(_rows(db, asked, calibration, which, WHOLE_TIMES), which, WHOLE_TIMES)


def _type(calibration: str, rows: Iterable[Row], binned: Sequence[str]) -> Type:
    months = sorted(_sums(rows, "month", binned).items())
    return Type(calibration, added([sums for _month, sums in months]), months)


def _sums(rows: Iterable[Row], name: str, binned: Sequence[str]) -> dict[Any, Sums]:
    return {value: total(some, binned) for value, some in _by(rows, name).items()}


def _by(rows: Iterable[Row], name: str) -> dict[Any, list[Row]]:
    made: dict[Any, list[Row]] = {}
    for row in rows:
        made.setdefault(row[name], []).append(row)
    return made


def _rows(
    db: Connection,
    asked: Asked,
    calibration: str | None = None,
    place: Place = "region",
    binned: Sequence[str] = BINNED,
) -> Sequence[Row]:
    """What was added up and is meant: with calibration, month, revision, placed, and the place."""
    if asked.vehicle:
        return _of_vehicle(_jobs(db, asked, calibration), place)
    columns = ", ".join(f"m.{name}" for name in ("calibration", "month", "revision", "placed", *NUMBERS, *binned))
    source, where, given = _meant(asked, calibration, place)
    at = "s.region" if place == "region" and "shop_month" in source else f"m.{place}"
    question = f"SELECT {columns}, {at} AS {place} FROM {source} WHERE {where}"  # noqa: S608
    found = db.execute(text(question), given)
    names = tuple(found.keys())
    # Thousands of rows, each asked for every column: a plain dict answers many times quicker than the row itself.
    return [dict(zip(names, row, strict=True)) for row in found]


def _meant(asked: Asked, calibration: str | None, place: Place) -> tuple[str, str, dict[str, Any]]:
    """The table to ask, which of its rows, and what is given to that."""
    of_shops = asked.shop is not None or place == "shop"
    region = "s.region" if of_shops else "m.region"
    conditions = {
        "calibration": "m.calibration = :calibration", "region": f"{region} = :region", "shop": "m.shop = :shop",
        "since": "m.month >= :since", "until": "m.month < :until", "revision": "m.revision = :revision",
        "placing": "m.placed = :placing",
    }  # fmt: skip
    given = {"calibration": calibration, **asked.__dict__}
    where = " AND ".join(said for name, said in conditions.items() if given[name] is not None) or "true"
    source = "office.shop_month m JOIN office.shop s ON s.id = m.shop" if of_shops else "office.region_month m"
    return source, where, given


def _jobs(db: Connection, asked: Asked, calibration: str | None) -> Sequence[RowMapping]:
    """The jobs of a vehicle, each a row."""
    conditions = {
        "calibration": "t.calibration = :calibration", "region": "s.region = :region", "shop": "t.shop = :shop",
        "since": "t.ended_on >= :since", "until": "t.ended_on < :until", "revision": "t.revision = :revision",
        "placing": "t.placed = :placing", "vehicle": "t.vehicle = :vehicle",
    }  # fmt: skip
    given = {"calibration": calibration, **asked.__dict__}
    where = " AND ".join(said for name, said in conditions.items() if given[name] is not None)
    question = JOBS.replace(" FROM ", ", s.region FROM ", 1)
    question = f"{question} JOIN office.shop s ON s.id = t.shop WHERE {where} ORDER BY t.ended_on DESC"
    return db.execute(text(question), given).mappings().all()


def _of_vehicle(rows: Sequence[RowMapping], place: Place) -> list[Row]:
    names = ("calibration", "revision", "placed", place)
    groups = by(rows, lambda row: (row["ended_on"].replace(day=1), *(row[name] for name in names)))
    return [
        {"month": month, **dict(zip(names, key, strict=True)), **of_jobs(some, {})}
        for (month, *key), some in groups.items()
    ]


def portions_of(db: Connection, calibration: str, asked: Asked) -> list[Portion]:
    """Where the time of these jobs went; with a vehicle, of the latest `MOST_TAKEN_APART` of them."""
    if asked.vehicle:
        rows = _jobs(db, asked, calibration)[:MOST_TAKEN_APART]
        wanted = {"shops": [row["shop"] for row in rows], "jobs": [row["job"] for row in rows]}
        return spent_on(rows, {row.id: json.loads(row.spent) for row in db.execute(_SPENT, wanted)})
    source, where, given = _meant(asked, calibration, "region")
    question = f"SELECT m.portions FROM {source} WHERE {where} AND m.portions IS NOT NULL"  # noqa: S608
    return portions.together(db.execute(text(question), given).scalars())


_SPENT = text(
    "SELECT j.id, j.spent FROM unnest(CAST(:shops AS text[]), CAST(:jobs AS text[])) AS w (shop, job) "
    "JOIN office.job j ON j.shop = w.shop AND j.id = w.job WHERE j.spent IS NOT NULL"
)


def choices(db: Connection, calibration: str) -> Choices:
    rows = db.execute(_CHOICES, {"calibration": calibration}).all()
    return Choices(
        sorted({row.vehicle for row in rows if row.vehicle}),
        sorted({row.revision for row in rows if row.revision}),
        sorted({row.placed for row in rows if row.placed}),
    )


_CHOICES = text(
    "SELECT DISTINCT m.revision, m.placed, v.vehicle FROM office.region_month m "
    "LEFT JOIN unnest(m.vehicles) AS v (vehicle) ON true WHERE m.calibration = :calibration"
)


@dataclass(frozen=True)
class Model:
    """How a calibration came out on one vehicle model: jobs by outcome."""

    vehicle: str
    jobs: int
    outcomes: dict[str, int]


def models(db: Connection, calibration: str, asked: Asked) -> list[Model]:
    """By vehicle model, the most frequent first; of region, shop and months that are asked for."""
    meant = replace(asked, vehicle=None, revision=None, placing=None)
    _, where, given = _meant(meant, calibration, "shop")
    question = (
        "SELECT m.vehicle, m.outcome, sum(m.jobs) AS jobs FROM office.model_month m "  # noqa: S608
        f"JOIN office.shop s ON s.id = m.shop WHERE {where} GROUP BY m.vehicle, m.outcome"
    )
    by_model: dict[str, dict[str, int]] = {}
    for row in db.execute(text(question), given):
        by_model.setdefault(row.vehicle, {})[row.outcome] = int(row.jobs)
    found = [Model(name, sum(outcomes.values()), outcomes) for name, outcomes in by_model.items()]
    return sorted(found, key=lambda one: (-one.jobs, one.vehicle))
