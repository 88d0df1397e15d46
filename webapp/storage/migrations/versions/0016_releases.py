"""What head office releases, as a shop fetched it, what was decided on it, and since when it is worked by."""

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "release",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("office", sa.String(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("manifest", sa.Text(), nullable=False),
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("signature", sa.String(), nullable=False),
        sa.Column("made_at", sa.String(), nullable=False),
        sa.Column("made_by", sa.String(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("fetched_at", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_release"),
        sa.UniqueConstraint("office", "number", name="uq_release_number"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "release_file",
        sa.Column("sha256", sa.String(), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.PrimaryKeyConstraint("sha256", name="pk_release_file"),
    )
    op.create_table(
        "release_decision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("release", sa.Integer(), nullable=False),
        sa.Column("decision", sa.String(), nullable=False),
        sa.Column("waits", sa.Boolean(), nullable=False),
        sa.Column("decided_at", sa.String(), nullable=False),
        sa.Column("decided_by", sa.String(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_release_decision"),
        sa.ForeignKeyConstraint(["decided_by"], ["person.code"], name="fk_release_decision_decided_by"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_release_decision_release", "release_decision", ["release"])
    op.create_table(
        "release_turn",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("release", sa.Integer(), nullable=False),
        sa.Column("decision", sa.Integer(), nullable=False),
        sa.Column("at", sa.String(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_release_turn"),
        sa.ForeignKeyConstraint(["decision"], ["release_decision.id"], name="fk_release_turn_decision"),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "release_asked",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("asked_at", sa.String(), nullable=True),
        sa.Column("code", sa.String(), nullable=True),
        sa.Column("why", sa.Text(), nullable=True),
        sa.Column("why_at", sa.String(), nullable=True),
        sa.Column("told", sa.BigInteger(), nullable=False),
        sa.Column("told_turn", sa.BigInteger(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_release_asked"),
    )


def downgrade() -> None:
    for name in ("release_asked", "release_turn", "release_decision", "release_file", "release"):
        op.drop_table(name)
