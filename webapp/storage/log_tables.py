"""The tables of the shop's log: what was entered about each ended job, the tree over it, and the heads signed of it."""

from sqlalchemy import LargeBinary, Text, UniqueConstraint
from sqlmodel import Field, SQLModel

from webapp.storage import tables  # noqa: F401 - its names for constraints must stand before a table is made


class LogEntry(SQLModel, table=True):
    """One entry (`core.evidence.Entry`), numbered from 0. `text` is what was hashed. Rows are only ever added."""

    __tablename__ = "log_entry"

    number: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    job: str = Field(foreign_key="job.id", index=True)
    text: str = Field(sa_type=Text)


class LogNode(SQLModel, table=True):
    """The hash over the `number`-th 2^level entries, once there are as many."""

    __tablename__ = "log_node"

    level: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    number: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    hash: bytes = Field(sa_type=LargeBinary)


class LogHead(SQLModel, table=True):
    """A head that was signed, and perhaps given away with a record: a log that does not continue it was rewritten."""

    __tablename__ = "log_head"

    size: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    root: str
    at: str
    signature: str


class Amendment(SQLModel, table=True):
    """A correction after the end of a job, numbered from 1 within it; nothing that was recorded is overwritten."""

    __table_args__ = (UniqueConstraint("job", "number"), {"sqlite_autoincrement": True})

    id: int | None = Field(default=None, primary_key=True)
    job: str = Field(foreign_key="job.id")
    number: int
    at: str
    by: str
    reason: str = Field(sa_type=Text)
    text: str = Field(sa_type=Text)
