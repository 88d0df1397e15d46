"""The parts of the tables that grow with the jobs: one for each month in which jobs ended, made when first met."""

from collections.abc import Iterable
from datetime import date

from sqlalchemy import text
from sqlalchemy.engine import Engine

from webapp.storage.engine import beside, session
from webapp.storage.office.tables import PARTED, SCHEMA

PARTING = 0x6261_7970
"""The number of the lock under which parts are made."""
_THERE = text("SELECT to_regclass(:name)")
_LACKING = text("SELECT name FROM unnest(CAST(:names AS text[])) AS name WHERE to_regclass(name) IS NULL")
SEPARATED = (
    "ALTER TABLE {} ENABLE ROW LEVEL SECURITY",
    "ALTER TABLE {} FORCE ROW LEVEL SECURITY",
    "CREATE POLICY seen ON {} USING (shop IN (SELECT id FROM office.shop))",
)


def make_parts(engine: Engine, days: Iterable[date]) -> None:
    """Make what lacks of the parts for these days, in a transaction of its own: for a moment it keeps others off.

    The database is asked each time: another server may have taken over, which lacks what was made last.
    """
    months = {_name(PARTED[-1], day.year, day.month): (day.year, day.month) for day in days}
    with session(engine) as db:
        lacking = db.connection().execute(_LACKING, {"names": sorted(months)}).scalars().all()
    for name in lacking:
        _make(engine, *months[name])


def _name(table: str, year: int, month: int) -> str:
    return f"{SCHEMA}.{table}_{year:04}_{month:02}"


def _make(engine: Engine, year: int, month: int) -> None:
    begin, end = date(year, month, 1), date(year + month // 12, month % 12 + 1, 1)
    with beside(engine) as db:
        db.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": PARTING})
        for name in PARTED:
            part = _name(name, year, month)
            # Asked first: making one that is there already would wait for everybody who writes.
            if db.execute(_THERE, {"name": part}).scalar() is None:
                whole = f"{SCHEMA}.{name}"
                db.execute(text(f"CREATE TABLE {part} PARTITION OF {whole} FOR VALUES FROM ('{begin}') TO ('{end}')"))
                for statement in SEPARATED:  # whoever asks a part by its own name is not asked by the whole's policy
                    db.execute(text(statement.format(part)))
