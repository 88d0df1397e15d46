"""Each event carries the hash of the one before it on its device; those from before this have none."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("event", sa.Column("before", sa.String(), nullable=True))


def downgrade() -> None:
    op.drop_column("event", "before")
