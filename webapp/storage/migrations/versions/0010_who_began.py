"""Who began to work with which phone."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "sign_in",
        sa.Column("id", sa.String(), nullable=False),
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("right", sa.Boolean(), nullable=False),
        sa.Column("why", sa.String(), nullable=True),
        sa.Column("checked_at", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_sign_in"),
        sa.ForeignKeyConstraint(["device"], ["device.id"], name="fk_sign_in_device"),
    )
    op.create_index("ix_sign_in_device", "sign_in", ["device"])


def downgrade() -> None:
    op.drop_table("sign_in")
