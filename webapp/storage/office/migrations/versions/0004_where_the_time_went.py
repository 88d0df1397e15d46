"""Of each calibration the revision of its procedure and how its target was placed; of each job where its time went.

What is added up by month is kept apart by both, with own steps, the share of the set-up, and the portions of each. Rows
from before have none of that (`own` is null); `months.complete` works them out anew when head office is started.
"""

from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

ADDED = """
ALTER TABLE office.job ADD COLUMN spent text COMPRESSION lz4;
ALTER TABLE office.time ADD COLUMN revision integer, ADD COLUMN placed text;
CREATE INDEX ix_time_vehicle ON office.time (vehicle, calibration);
"""

MONTHS = """
ALTER TABLE office.{0}_month
    ADD COLUMN revision integer NOT NULL DEFAULT 0,
    ADD COLUMN placed text NOT NULL DEFAULT '',
    ADD COLUMN own bytea,
    ADD COLUMN shared bytea,
    ADD COLUMN whole_s double precision NOT NULL DEFAULT 0,
    ADD COLUMN shared_s double precision NOT NULL DEFAULT 0,
    ADD COLUMN vehicles text[] NOT NULL DEFAULT '{{}}',
    ADD COLUMN portions bytea,
    DROP CONSTRAINT {0}_month_pkey,
    ADD PRIMARY KEY ({0}, month, calibration, revision, placed);
CREATE INDEX ix_{0}_month_calibration ON office.{0}_month (calibration, month);
"""


def upgrade() -> None:
    op.execute(ADDED)
    for name in ("shop", "region"):
        op.execute(MONTHS.format(name))


def downgrade() -> None:
    for name in ("shop", "region"):
        op.execute(f"TRUNCATE office.{name}_month")
        op.execute(f"DROP INDEX office.ix_{name}_month_calibration")
        gone = ("revision", "placed", "own", "shared", "whole_s", "shared_s", "vehicles", "portions")
        dropped = ", ".join(f"DROP COLUMN {one}" for one in gone)  # the key goes with its columns
        op.execute(f"ALTER TABLE office.{name}_month {dropped}, ADD PRIMARY KEY ({name}, month, calibration)")
    op.execute("DROP INDEX office.ix_time_vehicle")
    op.execute("ALTER TABLE office.time DROP COLUMN revision, DROP COLUMN placed")
    op.execute("ALTER TABLE office.job DROP COLUMN spent")
