"""What jobs took at all shops: added up by shop and month as jobs arrive, by region and month when somebody looks.

With millions of jobs a page reads a few thousand rows: one a region, month, calibration, revision of its procedure and
way of placing the target. `across` reads them.
"""

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from typing import Any, TypeVar

from sqlalchemy import Connection, text
from sqlalchemy.engine import Engine

from webapp.storage.office import door
from webapp.storage.office.added import BINNED, NUMBERS, Row, Told, kept, merged, of_jobs, portioned

R = TypeVar("R", bound=Row)

ADDING = 0x6261_7973
"""The number of the lock under which regions are added up."""
_KEY = ("month", "calibration", "revision", "placed")
_ADDED = (*NUMBERS, *BINNED, "vehicles", "portions")

JOBS = (
    "SELECT t.shop, t.job, t.calibration, t.ended_on, t.own_s, t.shared_s, t.estimated, t.first_time_pass, t.outcome, "
    "coalesce(t.vehicle, '') AS vehicle, coalesce(t.revision, 0) AS revision, coalesce(t.placed, '') AS placed "
    "FROM office.time t"
)
_OF_MONTH = text(f"{JOBS} WHERE t.shop = :shop AND t.ended_on >= :begin AND t.ended_on < :end")
_SPENT = text(
    "SELECT id, spent FROM office.job WHERE shop = :shop AND ended_on >= :begin AND ended_on < :end "
    "AND spent IS NOT NULL"
)


def _insert(whose: str, more: str = "") -> Any:
    names = (whose, *_KEY, *_ADDED)
    values = ", ".join(f":{name}" for name in names)
    return text(f"INSERT INTO office.{whose}_month ({', '.join(names)}) VALUES ({values}) {more}")  # noqa: S608


_REGION = _insert("region")
_SHOP = _insert(
    "shop",
    "ON CONFLICT (shop, month, calibration, revision, placed) DO UPDATE SET written = DEFAULT, "
    + ", ".join(f"{name} = excluded.{name}" for name in _ADDED),
)
_MODEL = text(
    "INSERT INTO office.model_month (shop, month, calibration, vehicle, outcome, jobs) "
    "VALUES (:shop, :month, :calibration, :vehicle, :outcome, :jobs) "
    "ON CONFLICT (shop, month, calibration, vehicle, outcome) DO UPDATE SET jobs = model_month.jobs + excluded.jobs"
)
_THERE = text(
    f"SELECT {', '.join((*_KEY, *_ADDED))} FROM office.shop_month "  # noqa: S608
    "WHERE shop = :shop AND month = ANY(:months)"
)
_NO_LONGER = (
    text("DELETE FROM office.shop_month WHERE shop = :shop AND month = :month"),
    text("DELETE FROM office.model_month WHERE shop = :shop AND month = :month"),
)


def add(db: Connection, shop: str, rows: Sequence[Row], spent: Mapping[str, Told]) -> None:
    """Add jobs that had not arrived before to the shop's months, in the transaction that they arrive in.

    `rows` are as `JOBS` gives them, `spent` is by job.
    """
    keyed = by(rows, _key)
    asked = {"shop": shop, "months": sorted({month for month, *_ in keyed})}
    there = {tuple(row[name] for name in _KEY): row for row in db.execute(_THERE, asked).mappings()}
    made = []
    for key, some in keyed.items():
        more = of_jobs(some, spent)
        more = merged(there[key], more) if key in there else more
        made.append({"shop": shop} | dict(zip(_KEY, key, strict=True)) | more)
    if made:
        db.execute(_SHOP, made)
        db.execute(_MODEL, [{"shop": shop} | one for one in _models(rows)])


def anew(db: Connection, shop: str, days: Iterable[date]) -> None:
    """Add up a shop's months in which these days lie from all their jobs, as where one of them has changed."""
    for begin in sorted({day.replace(day=1) for day in days}):
        meant = {"shop": shop, "begin": begin, "end": after(begin)}
        for statement in _NO_LONGER:
            db.execute(statement, {"shop": shop, "month": begin})
        spent = {row.id: json.loads(row.spent) for row in db.execute(_SPENT, meant)}
        add(db, shop, db.execute(_OF_MONTH, meant).mappings().all(), spent)


def _key(row: Row) -> tuple[Any, ...]:
    return row["ended_on"].replace(day=1), row["calibration"], row["revision"], row["placed"]


def after(month: date) -> date:
    """The first day of the month that follows."""
    return date(month.year + month.month // 12, month.month % 12 + 1, 1)


def by(rows: Iterable[R], key: Callable[[R], Any]) -> dict[Any, list[R]]:
    """The rows that have the same key, together."""
    made: dict[Any, list[R]] = {}
    for row in rows:
        made.setdefault(key(row), []).append(row)
    return made


def _models(rows: Sequence[Row]) -> list[dict[str, Any]]:
    names = ("month", "calibration", "vehicle", "outcome")
    counts = by(rows, lambda row: (row["ended_on"].replace(day=1), *(row[name] for name in names[1:])))
    return [dict(zip(names, key, strict=True)) | {"jobs": len(some)} for key, some in counts.items()]


_INCOMPLETE = text("SELECT DISTINCT shop, month FROM office.shop_month WHERE own IS NULL")

_HELD = text("SELECT id FROM office.shop WHERE id = :shop FOR UPDATE")  # as a bundle holds it


def complete(engine: Engine) -> int:
    """Add up anew what was added up by an older version, shop by shop and month by month; return how many."""
    with door.of_everything(engine) as db:
        lacking = [tuple(row) for row in db.execute(_INCOMPLETE)]
    for shop, month in lacking:
        with door.of_shop(engine, shop) as db:
            db.execute(_HELD, {"shop": shop})
            anew(db, shop, [month])
    return len(lacking)


_UP_TO = text("SELECT CAST(pg_snapshot_xmin(pg_current_snapshot()) AS text)")
_CHANGED = text(
    "SELECT DISTINCT s.region, m.month, m.calibration FROM office.shop_month m JOIN office.shop s ON s.id = m.shop "
    "WHERE m.written >= (SELECT written FROM office.added_up)"
)
_WHERE = "region = :region AND month = :month AND calibration = :calibration"
_PARTS = text(
    f"SELECT {', '.join(f'm.{name}' for name in (*_KEY[2:], *_ADDED))} "  # noqa: S608
    f"FROM office.shop_month m JOIN office.shop s ON s.id = m.shop WHERE {_WHERE}"
)
_NOT_THIS = text(f"DELETE FROM office.region_month WHERE {_WHERE}")  # noqa: S608


def add_up(db: Connection) -> int:
    """Bring the regions' months up to what has arrived, in a transaction that sees every shop; return how many changed.

    One at a time does so; a second one finds it done.
    """
    db.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": ADDING})
    # Asked first: whatever a transaction wrote that has not ended by now is asked for again the next time.
    upto = db.execute(_UP_TO).scalar_one()
    changed = [dict(one) for one in db.execute(_CHANGED).mappings()]
    for where in changed:
        parts = by(db.execute(_PARTS, where).mappings(), lambda row: (row["revision"], row["placed"]))
        db.execute(_NOT_THIS, where)
        db.execute(
            _REGION,
            [
                where | {"revision": revision, "placed": placed, "portions": portioned(some)} | kept(some)
                for (revision, placed), some in parts.items()
            ],
        )
    db.execute(text("UPDATE office.added_up SET written = CAST(:upto AS xid8)"), {"upto": upto})
    return len(changed)


def add_up_anew(db: Connection) -> None:
    """Forget what was added up by region: a shop has gone from one to another."""
    db.execute(text("DELETE FROM office.region_month"))
    db.execute(text("UPDATE office.added_up SET written = '0'"))
