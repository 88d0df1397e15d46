"""The vehicles and figures that a shop writes down itself, every revision of them, and who approved which."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "spec_revision",
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("hash", sa.String(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("made_by", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("vehicle", "revision", name="pk_spec_revision"),
        sa.ForeignKeyConstraint(["made_by"], ["person.code"], name="fk_spec_revision_made_by"),
    )
    op.create_table(
        "spec_decision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("vehicle", sa.String(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("decision", sa.String(), nullable=False),
        sa.Column("decided_at", sa.String(), nullable=False),
        sa.Column("decided_by", sa.String(), nullable=False),
        sa.Column("why", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_spec_decision"),
        sa.ForeignKeyConstraint(["decided_by"], ["person.code"], name="fk_spec_decision_decided_by"),
        sa.ForeignKeyConstraint(
            ["vehicle", "revision"],
            ["spec_revision.vehicle", "spec_revision.revision"],
            name="fk_spec_decision_revision",
        ),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_spec_decision_vehicle", "spec_decision", ["vehicle"])


def downgrade() -> None:
    op.drop_table("spec_decision")
    op.drop_table("spec_revision")
