"""Of which procedures somebody reads the short text: of none, until it is said."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("person", sa.Column("short", sa.Text(), nullable=False, server_default="[]"))


def downgrade() -> None:
    op.drop_column("person", "short")
