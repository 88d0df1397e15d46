"""The tables to begin with."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "item",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("is", sa.Text(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("condition", sa.String(), nullable=False),
        sa.Column("inspected_on", sa.Date(), nullable=True),
        sa.Column("inspection_due", sa.Date(), nullable=True),
        sa.Column("home", sa.String(), nullable=True),
        sa.Column("note", sa.String(), nullable=False),
        sa.Column("width_mm", sa.Float(), nullable=True),
        sa.Column("length_mm", sa.Float(), nullable=True),
        sa.ForeignKeyConstraint(["home"], ["item.code"], name="fk_item_home"),
        sa.PrimaryKeyConstraint("code", name="pk_item"),
    )
    op.create_index("ix_item_kind", "item", ["kind"])

    op.create_table(
        "person",
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("pin_hash", sa.String(), nullable=True),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.PrimaryKeyConstraint("code", name="pk_person"),
    )
    op.create_table(
        "sheet",
        sa.Column("hash", sa.String(), nullable=False),
        sa.Column("body", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("hash", name="pk_sheet"),
    )
    op.create_table(
        "job",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("sort", sa.String(), nullable=False),
        sa.Column("phase", sa.String(), nullable=False),
        sa.Column("created_at", sa.String(), nullable=False),
        sa.Column("made_by", sa.String(), nullable=True),
        sa.Column("repair_order", sa.String(), nullable=False),
        sa.Column("vin", sa.String(), nullable=False),
        sa.Column("vehicle", sa.String(), nullable=True),
        sa.Column("qualifiers", sa.JSON(), nullable=False),
        sa.Column("odometer_km", sa.Float(), nullable=True),
        sa.Column("reasons", sa.JSON(), nullable=False),
        sa.Column("lamps", sa.String(), nullable=False),
        sa.Column("codes", sa.String(), nullable=False),
        sa.Column("plan", sa.JSON(), nullable=False),
        sa.Column("bay", sa.String(), nullable=True),
        sa.Column("sheet", sa.String(), nullable=True),
        sa.Column("started_at", sa.String(), nullable=True),
        sa.Column("finished_at", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["bay"], ["item.code"], name="fk_job_bay"),
        sa.ForeignKeyConstraint(["sheet"], ["sheet.hash"], name="fk_job_sheet"),
        sa.PrimaryKeyConstraint("id", name="pk_job"),
    )
    op.create_index("ix_job_phase", "job", ["phase"])
    op.create_index("ix_job_vin", "job", ["vin"])

    op.create_table(
        "event",
        sa.Column(
            "server_seq", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), autoincrement=True, nullable=False
        ),
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("job", sa.String(), nullable=False),
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("step", sa.String(), nullable=True),
        sa.Column("attempt", sa.Integer(), nullable=False),
        sa.Column("turn", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("mono_s", sa.Float(), nullable=False),
        sa.Column("boot", sa.String(), nullable=False),
        sa.Column("person", sa.String(), nullable=True),
        sa.Column("data", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["job.id"], name="fk_event_job"),
        sa.PrimaryKeyConstraint("server_seq", name="pk_event"),
        sa.UniqueConstraint("device", "seq", name="uq_event_device_seq"),
        sa.UniqueConstraint("id", name="uq_event_id"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_event_job_event_server_seq", "event", ["job", "server_seq"])

    op.create_table(
        "job_time",
        sa.Column("job", sa.String(), nullable=False),
        sa.Column("calibration", sa.String(), nullable=False),
        sa.Column("own_s", sa.Float(), nullable=False),
        sa.Column("shared_s", sa.Float(), nullable=False),
        sa.Column("waited_s", sa.Float(), nullable=False),
        sa.Column("pauses_s", sa.JSON(), nullable=False),
        sa.Column("outcome", sa.String(), nullable=False),
        sa.Column("first_time_pass", sa.Boolean(), nullable=True),
        sa.Column("estimated", sa.Boolean(), nullable=False),
        sa.Column("finished_at", sa.String(), nullable=False),
        sa.Column("vehicle", sa.String(), nullable=True),
        sa.Column("bay", sa.String(), nullable=True),
        sa.Column("person", sa.String(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("placing", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["job"], ["job.id"], name="fk_job_time_job"),
        sa.PrimaryKeyConstraint("job", "calibration", name="pk_job_time"),
    )
    op.create_index("ix_job_time_calibration_job_time_finished_at", "job_time", ["calibration", "finished_at"])

    op.create_table(
        "step_time",
        sa.Column("job", sa.String(), nullable=False),
        sa.Column("step", sa.String(), nullable=False),
        sa.Column("section", sa.String(), nullable=False),
        sa.Column("calibration", sa.String(), nullable=True),
        sa.Column("serves", sa.JSON(), nullable=False),
        sa.Column("seconds", sa.Float(), nullable=False),
        sa.Column("waited_s", sa.Float(), nullable=False),
        sa.Column("attempts", sa.Integer(), nullable=False),
        sa.Column("estimated", sa.Boolean(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["job.id"], name="fk_step_time_job"),
        sa.PrimaryKeyConstraint("job", "step", name="pk_step_time"),
    )
    op.create_index("ix_step_time_section", "step_time", ["section"])

    op.create_table(
        "attachment",
        sa.Column("event", sa.String(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("media", sa.String(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("job", sa.String(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["event"], ["event.id"], name="fk_attachment_event"),
        sa.ForeignKeyConstraint(["job"], ["job.id"], name="fk_attachment_job"),
        sa.PrimaryKeyConstraint("event", name="pk_attachment"),
    )
    op.create_index("ix_attachment_job", "attachment", ["job"])
    op.create_index("ix_attachment_sha256", "attachment", ["sha256"])


def downgrade() -> None:
    op.drop_table("attachment")
    op.drop_table("step_time")
    op.drop_table("job_time")
    op.drop_table("event")
    op.drop_table("job")
    op.drop_table("sheet")
    op.drop_table("person")
    op.drop_table("item")
