"""Where a phone was paired and which app it runs; why somebody decided as they did; what the shop knows of itself."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for name in ("origin", "app", "revoked_why"):
        op.add_column("device", sa.Column(name, sa.String(), nullable=True))
    op.add_column("aside", sa.Column("decided_why", sa.String(), nullable=True))
    op.create_table(
        "fact",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("value", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("name", name="pk_fact"),
    )


def downgrade() -> None:
    op.drop_table("fact")
    op.drop_column("aside", "decided_why")
    for name in ("revoked_why", "app", "origin"):
        op.drop_column("device", name)
