"""How sure an instrument is, and what a bay looks like from above."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for name in ("accuracy", "plan"):
        op.add_column("item", sa.Column(name, sa.JSON(), nullable=True))


def downgrade() -> None:
    for name in ("plan", "accuracy"):
        op.drop_column("item", name)
