"""How often a PIN was wrong, by phone and person."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "pin_try",
        sa.Column("phone", sa.String(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("wrong", sa.Integer(), nullable=False),
        sa.Column("rests_until", sa.String(), nullable=True),
        sa.PrimaryKeyConstraint("phone", "person", name="pk_pin_try"),
    )


def downgrade() -> None:
    op.drop_table("pin_try")
