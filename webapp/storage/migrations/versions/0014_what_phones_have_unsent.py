"""What a phone said it had still to send, when it was heard of last."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("device", sa.Column("unsent", sa.Integer(), nullable=True))


def downgrade() -> None:
    op.drop_column("device", "unsent")
