"""Who works which calibration alone, and who said so."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("person", sa.Column("levels", sa.Text(), nullable=False, server_default="{}"))
    op.create_table(
        "competence",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person", sa.String(), nullable=False),
        sa.Column("calibration", sa.String(), nullable=False),
        sa.Column("level", sa.String(), nullable=False),
        sa.Column("by", sa.String(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_competence"),
        sa.ForeignKeyConstraint(["person"], ["person.code"], name="fk_competence_person"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_competence_person", "competence", ["person"])


def downgrade() -> None:
    op.drop_table("competence")
    op.drop_column("person", "levels")
