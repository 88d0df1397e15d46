"""What shops tell of their kit: targets, tools and test labels, with their inspections. Nobody is named in it."""

from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None

TABLES = """
CREATE TABLE office.kit (
    shop text PRIMARY KEY,
    sha256 text NOT NULL,
    told_at text NOT NULL
);

CREATE TABLE office.kit_item (
    shop text NOT NULL,
    code text NOT NULL,
    kind text NOT NULL,
    "is" text NOT NULL,
    name text NOT NULL,
    condition text NOT NULL,
    inspected_on date,
    inspection_due date,
    wrong integer NOT NULL,
    scans integer NOT NULL,
    PRIMARY KEY (shop, code)
);
"""


def upgrade() -> None:
    op.execute(TABLES)
    for name in ("kit", "kit_item"):
        op.execute(f"ALTER TABLE office.{name} ENABLE ROW LEVEL SECURITY")
        op.execute(f"ALTER TABLE office.{name} FORCE ROW LEVEL SECURITY")
        op.execute(f"CREATE POLICY seen ON office.{name} USING (shop IN (SELECT id FROM office.shop))")  # noqa: S608


def downgrade() -> None:
    op.execute("DROP TABLE office.kit_item, office.kit")
