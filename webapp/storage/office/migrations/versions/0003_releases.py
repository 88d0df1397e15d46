"""What head office releases to its shops, and what they made of it.

A release is read by every shop that has joined and by everybody who reads here; it is added by who sees every region,
and never changed: there is no policy under which a row could be. What a shop answered is that shop's.
"""

from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

TABLES = """
CREATE TABLE office.release (
    number integer PRIMARY KEY,
    manifest text COMPRESSION lz4 NOT NULL,
    sha256 text NOT NULL,
    signature text NOT NULL,
    made_at text NOT NULL,
    made_by text NOT NULL,
    note text NOT NULL
);

CREATE TABLE office.release_file (
    sha256 text PRIMARY KEY,
    body bytea COMPRESSION lz4 NOT NULL
);

CREATE TABLE office.release_answer (
    shop text NOT NULL,
    log integer NOT NULL,
    id bigint NOT NULL,
    number integer NOT NULL,
    decision text NOT NULL,
    at text NOT NULL,
    by text NOT NULL,
    why text NOT NULL,
    PRIMARY KEY (shop, log, id)
);

ALTER TABLE office.shop ADD COLUMN release integer;
ALTER TABLE office.shop ADD COLUMN release_at text;
"""

READ = """
    current_setting('baybook.regions', true) <> ''
    OR EXISTS (SELECT 1 FROM office.shop WHERE id = current_setting('baybook.shop', true) AND left_at IS NULL)
"""


def upgrade() -> None:
    op.execute(TABLES)
    for name in ("release", "release_file"):
        op.execute(f"ALTER TABLE office.{name} ENABLE ROW LEVEL SECURITY")
        op.execute(f"ALTER TABLE office.{name} FORCE ROW LEVEL SECURITY")
        op.execute(f"CREATE POLICY read ON office.{name} FOR SELECT USING ({READ})")
        added = "current_setting('baybook.regions', true) = '*'"
        op.execute(f"CREATE POLICY added ON office.{name} FOR INSERT WITH CHECK ({added})")
    op.execute("ALTER TABLE office.release_answer ENABLE ROW LEVEL SECURITY")
    op.execute("ALTER TABLE office.release_answer FORCE ROW LEVEL SECURITY")
    op.execute("CREATE POLICY seen ON office.release_answer USING (shop IN (SELECT id FROM office.shop))")


def downgrade() -> None:
    for name in ("release_answer", "release_file", "release"):
        op.execute(f"DROP TABLE office.{name}")
    op.execute("ALTER TABLE office.shop DROP COLUMN release, DROP COLUMN release_at")
