"""Phones: pairing, the bytes they bring, what was kept aside, where the server decided otherwise; events' rounds."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("event", sa.Column("round", sa.Integer(), nullable=False, server_default="0"))
    op.create_table(
        "device",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("paired_at", sa.String(), nullable=False),
        sa.Column("paired_by", sa.String(), nullable=False),
        sa.Column("revoked_at", sa.String(), nullable=True),
        sa.Column("revoked_by", sa.String(), nullable=True),
        sa.Column("seen_at", sa.String(), nullable=True),
        sa.Column("offset_s", sa.Float(), nullable=True),
        sa.Column("highest", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_device"),
    )
    op.create_table(
        "pairing",
        sa.Column("code_hash", sa.String(), nullable=False),
        sa.Column("made_by", sa.String(), nullable=False),
        sa.Column("ends_at", sa.String(), nullable=False),
        sa.Column("used_at", sa.String(), nullable=True),
        sa.Column("device", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("code_hash", name="pk_pairing"),
    )
    op.create_table(
        "batch",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("received_at", sa.String(), nullable=False),
        sa.Column("sent_at", sa.String(), nullable=True),
        sa.Column("mono_s", sa.Float(), nullable=True),
        sa.Column("offset_s", sa.Float(), nullable=True),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("signature", sa.String(), nullable=True),
        sa.Column("by", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["device"], ["device.id"], name="fk_batch_device"),
        sa.PrimaryKeyConstraint("id", name="pk_batch"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_batch_device", "batch", ["device"])
    op.create_table(
        "arrival",
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("batch", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("line", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["batch"], ["batch.id"], name="fk_arrival_batch"),
        sa.ForeignKeyConstraint(["device", "seq"], ["event.device", "event.seq"], name="fk_arrival_event"),
        sa.PrimaryKeyConstraint("device", "seq", name="pk_arrival"),
    )
    op.create_table(
        "aside",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=True),
        sa.Column("holds", sa.Boolean(), nullable=False),
        sa.Column("job", sa.String(), nullable=True),
        sa.Column("line", sa.Text(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("field", sa.String(), nullable=False),
        sa.Column("message", sa.String(), nullable=False),
        sa.Column("received_at", sa.String(), nullable=False),
        sa.Column("decided_at", sa.String(), nullable=True),
        sa.Column("decided_by", sa.String(), nullable=True),
        sa.Column("decision", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["device"], ["device.id"], name="fk_aside_device"),
        sa.PrimaryKeyConstraint("id", name="pk_aside"),
        sa.UniqueConstraint("device", "sha256", name="uq_aside_device_sha256"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_aside_device", "aside", ["device"])
    op.create_index("ix_aside_job", "aside", ["job"])
    op.create_table(
        "difference",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("event", sa.String(), nullable=False),
        sa.Column("job", sa.String(), nullable=False),
        sa.Column("what", sa.String(), nullable=False),
        sa.Column("phone", sa.Text(), nullable=False),
        sa.Column("server", sa.Text(), nullable=False),
        sa.Column("found_at", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["event"], ["event.id"], name="fk_difference_event"),
        sa.ForeignKeyConstraint(["job"], ["job.id"], name="fk_difference_job"),
        sa.PrimaryKeyConstraint("id", name="pk_difference"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_difference_event", "difference", ["event"])
    op.create_index("ix_difference_job", "difference", ["job"])


def downgrade() -> None:
    for table in ("difference", "aside", "arrival", "batch", "pairing", "device"):
        op.drop_table(table)
    op.drop_column("event", "round")
