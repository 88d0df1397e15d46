"""The table of what was erased: that it was, of which job, by whom and why; nothing of what it was."""

from sqlalchemy import JSON
from sqlmodel import Field, SQLModel

from webapp.storage import tables  # noqa: F401 - its names for constraints must stand before a table is made


class Erasure(SQLModel, table=True):
    """What was erased of a job. `by` is a badge, or `retention` where it was the shop's own rule."""

    __table_args__ = {"sqlite_autoincrement": True}

    id: int | None = Field(default=None, primary_key=True)
    job: str = Field(foreign_key="job.id", index=True)
    what: list[str] = Field(sa_type=JSON)
    at: str
    by: str
    reason: str
