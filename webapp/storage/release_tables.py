"""What head office released, as this shop fetched it, and what was decided on it here. Rows are only ever added."""

from sqlalchemy import BigInteger, LargeBinary, Text, UniqueConstraint
from sqlmodel import Field, SQLModel

from webapp.storage import tables  # noqa: F401 - its names for constraints must stand before a table is made

DECISIONS = ("approved", "declined")


class Release(SQLModel, table=True):
    """A release that was fetched whole and found good: the manifest as head office signed it. `office` is the SHA-256
    of the key that did: another head office begins its numbers anew.
    """

    __table_args__ = (UniqueConstraint("office", "number", name="uq_release_number"), {"sqlite_autoincrement": True})

    id: int | None = Field(default=None, primary_key=True)
    office: str
    number: int
    manifest: str = Field(sa_type=Text)
    sha256: str
    signature: str
    made_at: str
    made_by: str
    note: str = Field(sa_type=Text)
    fetched_at: str


class ReleaseFile(SQLModel, table=True):
    """What a file of a release holds, by the SHA-256 of its bytes; also of one that is still being fetched."""

    __tablename__ = "release_file"

    sha256: str = Field(primary_key=True)
    body: bytes = Field(sa_type=LargeBinary)


class ReleaseDecision(SQLModel, table=True):
    """Somebody approved or declined a release; `release` 0 stands for the procedures that came along with Baybook.

    `waits` says that it is taken up once no job is running, not at once.
    """

    __tablename__ = "release_decision"
    __table_args__ = {"sqlite_autoincrement": True}

    id: int | None = Field(default=None, primary_key=True)
    release: int = Field(index=True)
    decision: str
    waits: bool
    decided_at: str
    decided_by: str = Field(foreign_key="person.code")
    why: str = Field(default="", sa_type=Text)


class ReleaseTurn(SQLModel, table=True):
    """From then on jobs are planned by this release. The last row counts; with none, by what came along."""

    __tablename__ = "release_turn"
    __table_args__ = {"sqlite_autoincrement": True}

    id: int | None = Field(default=None, primary_key=True)
    release: int
    decision: int = Field(foreign_key="release_decision.id")
    at: str


class ReleaseAsked(SQLModel, table=True):
    """When head office was last asked for a release, at most one row: `why` what kept one from being taken, and how
    far head office has been told of decisions (`told`, the last one's id) and of what is worked by (`told_turn`).
    """

    __tablename__ = "release_asked"

    id: int = Field(default=1, primary_key=True)
    asked_at: str | None = None
    code: str | None = None
    why: str | None = Field(default=None, sa_type=Text)
    why_at: str | None = None
    told: int = Field(default=0, sa_type=BigInteger)
    told_turn: int = Field(default=0, sa_type=BigInteger)
