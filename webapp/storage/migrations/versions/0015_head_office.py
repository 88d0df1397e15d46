"""Where a shop sends its finished jobs, how far it has come, and what head office has signed."""

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "head_office",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("url", sa.String(), nullable=False),
        sa.Column("shop", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("authority", sa.Text(), nullable=False),
        sa.Column("joined_at", sa.String(), nullable=False),
        sa.Column("size", sa.BigInteger(), nullable=False),
        sa.Column("head_size", sa.BigInteger(), nullable=False),
        sa.Column("photos", sa.Integer(), nullable=False),
        sa.Column("tried_at", sa.String(), nullable=True),
        sa.Column("done_at", sa.String(), nullable=True),
        sa.Column("next_at", sa.String(), nullable=True),
        sa.Column("failures", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=True),
        sa.Column("why", sa.Text(), nullable=True),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_head_office")),
    )
    op.create_table(
        "cosigned",
        sa.Column("size", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("root", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("shop", sa.String(), nullable=False),
        sa.Column("signature", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("size", name=op.f("pk_cosigned")),
    )
    op.create_table(
        "kept_apart",
        sa.Column("number", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("job", sa.String(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("message", sa.Text(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_kept_apart")),
    )


def downgrade() -> None:
    for name in ("kept_apart", "cosigned", "head_office"):
        op.drop_table(name)
