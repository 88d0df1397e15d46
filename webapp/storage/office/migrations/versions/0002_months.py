"""What jobs took, added up: by shop and month, by region and month, and outcomes by vehicle model.

A shop's rows are worked out anew from its jobs of the month whenever one arrives, so nothing counts twice; a region's
follow by `written`: which of its shops' rows a transaction wrote that had not ended when it was added up.
"""

from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

TABLES = """
CREATE TABLE office.shop_month (
    shop text NOT NULL,
    month date NOT NULL,
    calibration text NOT NULL,
    jobs integer NOT NULL,
    known integer NOT NULL,
    passed integer NOT NULL,
    times bytea NOT NULL,
    written xid8 NOT NULL DEFAULT pg_current_xact_id(),
    PRIMARY KEY (shop, month, calibration)
);
CREATE INDEX ix_shop_month_written ON office.shop_month (written);

CREATE TABLE office.region_month (
    region text NOT NULL,
    month date NOT NULL,
    calibration text NOT NULL,
    jobs integer NOT NULL,
    known integer NOT NULL,
    passed integer NOT NULL,
    times bytea NOT NULL,
    PRIMARY KEY (region, month, calibration)
);

CREATE TABLE office.added_up (
    id integer PRIMARY KEY,
    written xid8 NOT NULL
);
INSERT INTO office.added_up VALUES (1, '0');

CREATE TABLE office.model_month (
    shop text NOT NULL,
    month date NOT NULL,
    calibration text NOT NULL,
    vehicle text NOT NULL,
    outcome text NOT NULL,
    jobs integer NOT NULL,
    PRIMARY KEY (shop, month, calibration, vehicle, outcome)
);
CREATE INDEX ix_model_month_calibration ON office.model_month (calibration, month);

ALTER TABLE office.region_month ENABLE ROW LEVEL SECURITY;
ALTER TABLE office.region_month FORCE ROW LEVEL SECURITY;
CREATE POLICY seen ON office.region_month USING (
    current_setting('baybook.regions', true) = '*'
    OR region = ANY (string_to_array(current_setting('baybook.regions', true), chr(31)))
);
"""


def upgrade() -> None:
    op.execute(TABLES)
    for name in ("shop_month", "model_month"):
        op.execute(f"ALTER TABLE office.{name} ENABLE ROW LEVEL SECURITY")
        op.execute(f"ALTER TABLE office.{name} FORCE ROW LEVEL SECURITY")
        op.execute(f"CREATE POLICY seen ON office.{name} USING (shop IN (SELECT id FROM office.shop))")  # noqa: S608


def downgrade() -> None:
    for name in ("model_month", "added_up", "region_month", "shop_month"):
        op.execute(f"DROP TABLE office.{name}")
