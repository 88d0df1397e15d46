"""What was erased of a job, and of each event that was changed by it the hash of its line as it was recorded."""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("event", sa.Column("was", sa.String(), nullable=True))
    op.create_table(
        "erasure",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("job", sa.String(), nullable=False),
        sa.Column("what", sa.JSON(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(["job"], ["job.id"], name="fk_erasure_job"),
        sa.PrimaryKeyConstraint("id", name="pk_erasure"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_erasure_job", "erasure", ["job"])


def downgrade() -> None:
    op.drop_table("erasure")
    op.drop_column("event", "was")
