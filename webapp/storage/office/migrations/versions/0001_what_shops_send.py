"""The shops of a head office, what they sent, and who may see which of it.

Every row is some shop's, and no constraint spans two shops, so that the tables could be spread over servers by shop.
What grows with the jobs is cut into parts by the day on which the job ended. Who reads says for which regions
(`baybook.regions`), who takes in says for which shop (`baybook.shop`); who says neither sees nothing at all.
"""

from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

TABLES = """
CREATE SCHEMA office;

CREATE TABLE office.shop (
    id text PRIMARY KEY,
    name text NOT NULL,
    region text NOT NULL,
    key text NOT NULL,
    joined_at text NOT NULL,
    joined_by text NOT NULL,
    log integer NOT NULL,
    size bigint NOT NULL,
    head_size bigint NOT NULL,
    head_root text NOT NULL,
    seen_at text,
    version text,
    refused_at text,
    refused text,
    left_at text,
    left_by text
);

CREATE TABLE office.code (
    hash text PRIMARY KEY,
    name text NOT NULL,
    region text NOT NULL,
    shop text,
    made_by text NOT NULL,
    ends_at text NOT NULL,
    used_at text
);

CREATE TABLE office.reader (
    person text NOT NULL,
    region text NOT NULL,
    PRIMARY KEY (person, region)
);

CREATE TABLE office.head (
    shop text NOT NULL,
    log integer NOT NULL,
    size bigint NOT NULL,
    root text NOT NULL,
    at text NOT NULL,
    signature text NOT NULL,
    cosigned_at text NOT NULL,
    cosignature text NOT NULL,
    PRIMARY KEY (shop, log, size)
);

CREATE TABLE office.entry (
    shop text NOT NULL,
    log integer NOT NULL,
    number bigint NOT NULL,
    job text NOT NULL,
    ended_on date,
    text text NOT NULL,
    PRIMARY KEY (shop, log, number)
);
CREATE INDEX ix_entry_job ON office.entry (shop, job);

CREATE TABLE office.job (
    shop text NOT NULL,
    id text NOT NULL,
    ended_on date NOT NULL,
    phase text NOT NULL,
    sheet text NOT NULL,
    journal text NOT NULL,
    events integer NOT NULL,
    amendments text NOT NULL,
    erased boolean NOT NULL,
    PRIMARY KEY (shop, id, ended_on)
) PARTITION BY RANGE (ended_on);

CREATE TABLE office.sheet (
    shop text NOT NULL,
    hash text NOT NULL,
    ended_on date NOT NULL,
    body text COMPRESSION lz4 NOT NULL,
    PRIMARY KEY (shop, hash, ended_on)
) PARTITION BY RANGE (ended_on);

CREATE TABLE office.event (
    shop text NOT NULL,
    job text NOT NULL,
    device text NOT NULL,
    seq bigint NOT NULL,
    ended_on date NOT NULL,
    sha256 text NOT NULL,
    line text NOT NULL,
    PRIMARY KEY (shop, job, device, seq, ended_on)
) PARTITION BY RANGE (ended_on);

CREATE TABLE office.time (
    shop text NOT NULL,
    job text NOT NULL,
    calibration text NOT NULL,
    ended_on date NOT NULL,
    own_s double precision NOT NULL,
    shared_s double precision NOT NULL,
    waited_s double precision NOT NULL,
    outcome text NOT NULL,
    first_time_pass boolean,
    estimated boolean NOT NULL,
    vehicle text,
    bay text,
    PRIMARY KEY (shop, job, calibration, ended_on)
) PARTITION BY RANGE (ended_on);

CREATE TABLE office.photo (
    shop text NOT NULL,
    job text NOT NULL,
    sha256 text NOT NULL,
    here boolean NOT NULL,
    PRIMARY KEY (shop, job, sha256)
);
CREATE INDEX ix_photo_wanted ON office.photo (shop) WHERE NOT here;

CREATE TABLE office.aside (
    shop text NOT NULL,
    log integer NOT NULL,
    number bigint NOT NULL,
    job text NOT NULL,
    code text NOT NULL,
    field text NOT NULL,
    message text NOT NULL,
    body text COMPRESSION lz4 NOT NULL,
    received_at text NOT NULL,
    PRIMARY KEY (shop, log, number)
);
"""

OF_A_SHOP = ("head", "entry", "job", "sheet", "event", "time", "photo", "aside")

# Of the shops themselves those of the regions, or the one; of all else what is of a shop that is seen. Asked once a
# statement, not for each row.
SEEN = """
ALTER TABLE office.shop ENABLE ROW LEVEL SECURITY;
ALTER TABLE office.shop FORCE ROW LEVEL SECURITY;
CREATE POLICY seen ON office.shop USING (
    id = current_setting('baybook.shop', true)
    OR current_setting('baybook.regions', true) = '*'
    OR region = ANY (string_to_array(current_setting('baybook.regions', true), chr(31)))
);
"""


def upgrade() -> None:
    op.execute(TABLES)
    op.execute(SEEN)
    for name in OF_A_SHOP:
        op.execute(f"ALTER TABLE office.{name} ENABLE ROW LEVEL SECURITY")
        op.execute(f"ALTER TABLE office.{name} FORCE ROW LEVEL SECURITY")
        op.execute(f"CREATE POLICY seen ON office.{name} USING (shop IN (SELECT id FROM office.shop))")  # noqa: S608


def downgrade() -> None:
    op.execute("DROP SCHEMA office CASCADE")
