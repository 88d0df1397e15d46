"""What jobs took at all shops: added up by shop and month when jobs arrive, by region and month when somebody looks.

With millions of jobs a page reads a few thousand rows: one a region, month and calibration.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
from sqlalchemy import Connection, RowMapping, text

from webapp.core.binned import Binned, counted, packed, together
from webapp.core.statistics import Rate, Summary, pass_rate, summary

ADDING = 0x6261_7973
"""The number of the lock under which regions are added up."""


@dataclass(frozen=True)
class Asked:
    """Which jobs are meant: of a region, of a shop, of months from `since` to before `until`; None is any."""

    region: str | None = None
    shop: str | None = None
    since: date | None = None
    until: date | None = None


@dataclass(frozen=True)
class Type:
    """One calibration at the shops that are meant: how often, how long, and how often right the first time.

    `summary` is None for too few jobs.
    """

    calibration: str
    jobs: int
    summary: Summary | None
    rate: Rate


_OF_MONTH = text(
    "SELECT calibration, own_s + shared_s AS seconds, estimated, first_time_pass, outcome, coalesce(vehicle, '') AS "
    "vehicle FROM office.time WHERE shop = :shop AND ended_on >= :begin AND ended_on < :end"
)
_SHOP = text(
    "INSERT INTO office.shop_month (shop, month, calibration, jobs, known, passed, times) "
    "VALUES (:shop, :month, :calibration, :jobs, :known, :passed, :times) "
    "ON CONFLICT (shop, month, calibration) DO UPDATE SET jobs = excluded.jobs, known = excluded.known, "
    "passed = excluded.passed, times = excluded.times, written = excluded.written"
)
_MODEL = text(
    "INSERT INTO office.model_month (shop, month, calibration, vehicle, outcome, jobs) "
    "VALUES (:shop, :month, :calibration, :vehicle, :outcome, :jobs)"
)
_NO_MODELS = text("DELETE FROM office.model_month WHERE shop = :shop AND month = :month")


def keep(db: Connection, shop: str, days: Iterable[date]) -> None:
    """Add up a shop's months in which these days lie anew, in the transaction that its jobs arrive in."""
    for begin in sorted({day.replace(day=1) for day in days}):
        end = date(begin.year + begin.month // 12, begin.month % 12 + 1, 1)
        rows = list(db.execute(_OF_MONTH, {"shop": shop, "begin": begin, "end": end}).mappings())
        where = {"shop": shop, "month": begin}
        db.execute(_NO_MODELS, where)
        if rows:
            db.execute(_SHOP, [where | one for one in _added(rows)])
            db.execute(_MODEL, [where | one for one in _models(rows)])


def _added(rows: Sequence[RowMapping]) -> list[dict[str, Any]]:
    """Estimated times count as jobs and are left out of the statistics."""
    by_type: dict[str, list[RowMapping]] = {}
    for row in rows:
        by_type.setdefault(row["calibration"], []).append(row)
    return [
        {
            "calibration": name,
            "jobs": len(own),
            "known": sum(row["first_time_pass"] is not None for row in own),
            "passed": sum(row["first_time_pass"] is True for row in own),
            "times": packed(counted([row["seconds"] for row in own if not row["estimated"]])),
        }
        for name, own in by_type.items()
    ]


def _models(rows: Sequence[RowMapping]) -> list[dict[str, Any]]:
    counts: dict[tuple[str, str, str], int] = {}
    for row in rows:
        key = row["calibration"], row["vehicle"], row["outcome"]
        counts[key] = counts.get(key, 0) + 1
    names = ("calibration", "vehicle", "outcome")
    return [dict(zip(names, key, strict=True)) | {"jobs": count} for key, count in counts.items()]


_UP_TO = text("SELECT CAST(pg_snapshot_xmin(pg_current_snapshot()) AS text)")
_CHANGED = text(
    "SELECT DISTINCT s.region, m.month, m.calibration FROM office.shop_month m JOIN office.shop s ON s.id = m.shop "
    "WHERE m.written >= (SELECT written FROM office.added_up)"
)
_PARTS = text(
    "SELECT m.jobs, m.known, m.passed, m.times FROM office.shop_month m JOIN office.shop s ON s.id = m.shop "
    "WHERE s.region = :region AND m.month = :month AND m.calibration = :calibration"
)
_REGION = text(
    "INSERT INTO office.region_month (region, month, calibration, jobs, known, passed, times) "
    "VALUES (:region, :month, :calibration, :jobs, :known, :passed, :times) "
    "ON CONFLICT (region, month, calibration) DO UPDATE SET jobs = excluded.jobs, known = excluded.known, "
    "passed = excluded.passed, times = excluded.times"
)


def add_up(db: Connection) -> int:
    """Bring the regions' months up to what has arrived, in a transaction that sees every shop; return how many changed.

    One at a time does so; a second one finds it done.
    """
    db.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": ADDING})
    # Asked first: whatever a transaction wrote that has not ended by now is asked for again the next time.
    upto = db.execute(_UP_TO).scalar_one()
    changed = list(db.execute(_CHANGED).mappings())
    for where in changed:
        parts = list(db.execute(_PARTS, dict(where)).mappings())
        db.execute(_REGION, dict(where) | _sum(parts) | {"times": packed(together(one["times"] for one in parts))})
    db.execute(text("UPDATE office.added_up SET written = CAST(:upto AS xid8)"), {"upto": upto})
    return len(changed)


def add_up_anew(db: Connection) -> None:
    """Forget what was added up by region: a shop has gone from one to another."""
    db.execute(text("DELETE FROM office.region_month"))
    db.execute(text("UPDATE office.added_up SET written = '0'"))


def _sum(rows: Iterable[RowMapping]) -> dict[str, int]:
    total = dict.fromkeys(("jobs", "known", "passed"), 0)
    for row in rows:
        for name in total:
            total[name] += row[name]
    return total


def overview(db: Connection, asked: Asked) -> list[Type]:
    """Each calibration at the shops that are meant and seen, the most frequent first."""
    table, where, given = "region_month", ["true"], dict[str, Any]()
    if asked.shop:
        table, where, given = "shop_month", ["shop = :shop"], {"shop": asked.shop}
    if asked.region:
        where.append("region = :region" if table == "region_month" else "true")
    if asked.since:
        where.append("month >= :since")
    if asked.until:
        where.append("month < :until")
    given |= {"region": asked.region, "since": asked.since, "until": asked.until}
    which = " AND ".join(where)
    question = f"SELECT calibration, jobs, known, passed, times FROM office.{table} WHERE {which}"  # noqa: S608
    by_type: dict[str, list[RowMapping]] = {}
    for row in db.execute(text(question), given).mappings():
        by_type.setdefault(row["calibration"], []).append(row)
    found = [_type(name, rows) for name, rows in by_type.items()]
    return sorted(found, key=lambda one: (-one.jobs, one.calibration))


def _type(name: str, rows: Sequence[RowMapping]) -> Type:
    total, counts = _sum(rows), together(row["times"] for row in rows)
    found = summary(Binned(counts)) if np.any(counts) else None
    return Type(name, total["jobs"], found, pass_rate(total["passed"], total["known"]))


@dataclass(frozen=True)
class Model:
    """How a calibration came out on one vehicle model: jobs by outcome."""

    vehicle: str
    jobs: int
    outcomes: dict[str, int]


def models(db: Connection, calibration: str, asked: Asked) -> list[Model]:
    """By vehicle model, the most frequent first."""
    where = ["m.calibration = :calibration"]
    where += ["m.shop = :shop"] if asked.shop else []
    where += ["s.region = :region"] if asked.region else []
    where += ["m.month >= :since"] if asked.since else []
    where += ["m.month < :until"] if asked.until else []
    question = (
        "SELECT m.vehicle, m.outcome, sum(m.jobs) AS jobs FROM office.model_month m "  # noqa: S608
        f"JOIN office.shop s ON s.id = m.shop WHERE {' AND '.join(where)} GROUP BY m.vehicle, m.outcome"
    )
    given = {"calibration": calibration, **asked.__dict__}
    by_model: dict[str, dict[str, int]] = {}
    for row in db.execute(text(question), given):
        by_model.setdefault(row.vehicle, {})[row.outcome] = int(row.jobs)
    found = [Model(name, sum(outcomes.values()), outcomes) for name, outcomes in by_model.items()]
    return sorted(found, key=lambda one: (-one.jobs, one.vehicle))
