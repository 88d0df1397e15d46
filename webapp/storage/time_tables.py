"""The tables of the figures: what finished jobs took, packed so that all of them can be read at once."""

from sqlalchemy import BigInteger, Column, Index, Integer, LargeBinary, UniqueConstraint
from sqlmodel import Field, SQLModel


class Word(SQLModel, table=True):
    """A name that stands in packed times as a number: a calibration, a step, a vehicle, a bay, a badge."""

    __tablename__ = "time_word"
    __table_args__ = (UniqueConstraint("text"),)

    code: int | None = Field(default=None, primary_key=True)
    text: str


class PackedTime(SQLModel, table=True):
    """All times of one finished job (`packed` has the layout). Rows are added, and taken away only by a rebuild.

    A job whose times were written again has a further row; `replaces` is the seq of the one before. Who has read up to
    some seq needs to read only what lies behind it.
    """

    __tablename__ = "packed_time"
    __table_args__ = (Index(None, "job"), {"sqlite_autoincrement": True})

    seq: int | None = Field(
        default=None,
        sa_column=Column(BigInteger().with_variant(Integer, "sqlite"), primary_key=True, autoincrement=True),
    )
    job: str = Field(foreign_key="job.id")
    replaces: int | None = Field(default=None, sa_type=BigInteger)
    head: bytes = Field(sa_type=LargeBinary)
    types: bytes = Field(sa_type=LargeBinary)
    steps: bytes = Field(sa_type=LargeBinary)
    causes: bytes = Field(sa_type=LargeBinary)
