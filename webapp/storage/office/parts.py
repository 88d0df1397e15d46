"""The parts of the tables that grow with the jobs: one for each month in which jobs ended, made when first met."""

from collections.abc import Iterable
from datetime import date

from sqlalchemy import text
from sqlalchemy.engine import Engine

from webapp.storage.engine import beside
from webapp.storage.office.tables import PARTED, SCHEMA

PARTING = 0x6261_7970
"""The number of the lock under which parts are made."""
SEPARATED = (
    "ALTER TABLE {} ENABLE ROW LEVEL SECURITY",
    "ALTER TABLE {} FORCE ROW LEVEL SECURITY",
    "CREATE POLICY seen ON {} USING (shop IN (SELECT id FROM office.shop))",
)
_made: set[tuple[str, int, int]] = set()


def make_parts(engine: Engine, days: Iterable[date]) -> None:
    """Make what lacks of the parts for these days, in a transaction of its own: for a moment it keeps others off."""
    for year, month in sorted({(day.year, day.month) for day in days}):
        if (one := (str(engine.url), year, month)) not in _made:
            _make(engine, year, month)
            _made.add(one)


def _make(engine: Engine, year: int, month: int) -> None:
    begin, end = date(year, month, 1), date(year + month // 12, month % 12 + 1, 1)
    with beside(engine) as db:
        db.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": PARTING})
        for name in PARTED:
            part = f"{SCHEMA}.{name}_{year:04}_{month:02}"
            # Asked first: making one that is there already would wait for everybody who writes.
            if db.execute(text("SELECT to_regclass(:name)"), {"name": part}).scalar() is None:
                whole = f"{SCHEMA}.{name}"
                db.execute(text(f"CREATE TABLE {part} PARTITION OF {whole} FOR VALUES FROM ('{begin}') TO ('{end}')"))
                for statement in SEPARATED:  # whoever asks a part by its own name is not asked by the whole's policy
                    db.execute(text(statement.format(part)))
