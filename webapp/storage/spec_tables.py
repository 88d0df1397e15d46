"""The shop's own vehicles and their figures, a class a table; further to tables.py. Rows are only ever added."""

from sqlalchemy import ForeignKeyConstraint, Text
from sqlmodel import Field, SQLModel

from webapp.storage import tables  # noqa: F401 - its names for constraints must stand before a table is made

DECISIONS = ("approved", "withdrawn")


class SpecRevision(SQLModel, table=True):
    """A vehicle as somebody saved it. `hash` is the SHA-256 of `body`, as JSON what the library's file would hold."""

    __tablename__ = "spec_revision"

    vehicle: str = Field(primary_key=True)
    revision: int = Field(primary_key=True)
    body: str = Field(sa_type=Text)
    hash: str
    made_at: str
    made_by: str = Field(foreign_key="person.code")


class SpecDecision(SQLModel, table=True):
    """A revision was approved, or the vehicle's figures were withdrawn. The last one of a vehicle counts."""

    __tablename__ = "spec_decision"
    __table_args__ = (
        ForeignKeyConstraint(
            ["vehicle", "revision"],
            ["spec_revision.vehicle", "spec_revision.revision"],
            name="fk_spec_decision_revision",
        ),
        {"sqlite_autoincrement": True},
    )

    id: int | None = Field(default=None, primary_key=True)
    vehicle: str = Field(index=True)
    revision: int
    decision: str
    decided_at: str
    decided_by: str = Field(foreign_key="person.code")
    why: str = ""
