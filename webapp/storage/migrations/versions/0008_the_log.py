"""The log of ended jobs, the tree over it, the heads signed of it; and amendments."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "log_entry",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("job", sa.String(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("number", name="pk_log_entry"),
        sa.ForeignKeyConstraint(["job"], ["job.id"], name="fk_log_entry_job"),
    )
    op.create_index("ix_log_entry_job", "log_entry", ["job"])
    op.create_table(
        "log_node",
        sa.Column("level", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("hash", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("level", "number", name="pk_log_node"),
    )
    op.create_table(
        "log_head",
        sa.Column("size", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("root", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("signature", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("size", name="pk_log_head"),
    )
    op.create_table(
        "amendment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_amendment"),
        sa.ForeignKeyConstraint(["job"], ["job.id"], name="fk_amendment_job"),
        sa.UniqueConstraint("job", "number", name="uq_amendment_job_number"),
        sqlite_autoincrement=True,
    )


def downgrade() -> None:
    for name in ("amendment", "log_head", "log_node", "log_entry"):
        op.drop_table(name)
