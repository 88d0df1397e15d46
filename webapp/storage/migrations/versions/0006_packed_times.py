"""What finished jobs took, packed so that all of them can be read at once; and what had to be done again at a step."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "time_word",
        sa.Column("code", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("code", name="pk_time_word"),
        sa.UniqueConstraint("text", name="uq_time_word_text"),
    )
    op.create_table(
        "packed_time",
        sa.Column("seq", sa.BigInteger().with_variant(sa.Integer(), "sqlite"), nullable=False),
        sa.Column("job", sa.String(), nullable=False),
        sa.Column("replaces", sa.BigInteger(), nullable=True),
        sa.Column("head", sa.LargeBinary(), nullable=False),
        sa.Column("types", sa.LargeBinary(), nullable=False),
        sa.Column("steps", sa.LargeBinary(), nullable=False),
        sa.Column("causes", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("seq", name="pk_packed_time"),
        sa.ForeignKeyConstraint(["job"], ["job.id"], name="fk_packed_time_job"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_packed_time_job", "packed_time", ["job"])
    op.add_column("step_time", sa.Column("wrong_scans", sa.Integer(), server_default="0", nullable=False))
    op.add_column("step_time", sa.Column("failures", sa.Integer(), server_default="0", nullable=False))
    op.add_column("step_time", sa.Column("causes", sa.JSON(), server_default="[]", nullable=False))


def downgrade() -> None:
    for name in ("wrong_scans", "failures", "causes"):
        op.drop_column("step_time", name)
    op.drop_table("packed_time")
    op.drop_table("time_word")
