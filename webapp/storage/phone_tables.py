"""What the shop keeps about its phones and what they bring, a class a table; further to tables.py.

Whatever a phone said stands here in its own bytes, since those are what both sides hash and compare.
"""

from sqlalchemy import ForeignKeyConstraint, Text, UniqueConstraint
from sqlmodel import Field, SQLModel

from webapp.storage import tables  # noqa: F401 - its names for constraints must stand before a table is made

DECISIONS = ("brought-in", "left-out")


class Device(SQLModel, table=True):
    """A paired phone. `key` is its public key, a P-256 JWK as JSON; `highest` the highest contiguous seq held of it.

    `offset_s` is the server's clock less the phone's, as measured at its last exchange; `origin` the address where
    it was paired, on which all hangs that it keeps; `app` the version of the app that it said it runs; `unsent` how
    many events and photos it said it had still to send.
    """

    id: str = Field(primary_key=True)
    name: str
    key: str = Field(sa_type=Text)
    paired_at: str
    paired_by: str
    revoked_at: str | None = None
    revoked_by: str | None = None
    seen_at: str | None = None
    offset_s: float | None = None
    highest: int = 0
    origin: str | None = None
    app: str | None = None
    revoked_why: str | None = None
    unsent: int | None = None


class Pairing(SQLModel, table=True):
    """A one-time code, by its SHA-256. Who made it lets one phone in, until `ends_at`."""

    code_hash: str = Field(primary_key=True)
    made_by: str
    ends_at: str
    used_at: str | None = None
    device: str | None = None


class SignIn(SQLModel, table=True):
    """Somebody began to work with a phone, by badge and PIN: `right`, or `why` not. `seq` is that of the first event
    that the phone made from then on, or would have.
    """

    __tablename__ = "sign_in"

    id: str = Field(primary_key=True)
    device: str = Field(foreign_key="device.id", index=True)
    person: str
    at: str
    seq: int
    right: bool
    why: str | None = None
    checked_at: str


class Batch(SQLModel, table=True):
    """A batch that brought something. Where a person brought it in from a file, `by` is the badge, and nothing signed.

    `digest` is the SHA-256 of the request's body; `sent_at` and `mono_s` are the phone's clocks at sending.
    """

    __table_args__ = {"sqlite_autoincrement": True}

    id: int | None = Field(default=None, primary_key=True)
    device: str = Field(foreign_key="device.id", index=True)
    received_at: str
    sent_at: str | None = None
    mono_s: float | None = None
    offset_s: float | None = None
    digest: str
    signature: str | None = None
    by: str | None = None


class Arrival(SQLModel, table=True):
    """One event as its phone wrote it: the text, its SHA-256, and the batch that brought it."""

    __table_args__ = (ForeignKeyConstraint(["device", "seq"], ["event.device", "event.seq"], name="fk_arrival_event"),)

    device: str = Field(primary_key=True)
    seq: int = Field(primary_key=True)
    batch: int = Field(foreign_key="batch.id")
    sha256: str
    line: str = Field(sa_type=Text)


class Aside(SQLModel, table=True):
    """What a phone brought that the journal could not take, kept for a person to decide, with why.

    `line` is the event's text; for the whole batch of a revoked phone (`seq` is None) it is the request's body. What
    `holds` stands in its seq's place: the phone need not send it again, and the events after it are taken.
    """

    __table_args__ = (UniqueConstraint("device", "sha256"), {"sqlite_autoincrement": True})

    id: int | None = Field(default=None, primary_key=True)
    device: str = Field(foreign_key="device.id", index=True)
    seq: int | None = None
    holds: bool = False
    job: str | None = Field(default=None, index=True)
    line: str = Field(sa_type=Text)
    sha256: str
    code: str
    field: str
    message: str
    received_at: str
    decided_at: str | None = None
    decided_by: str | None = None
    decision: str | None = None
    decided_why: str | None = None


class Difference(SQLModel, table=True):
    """Where the server, deciding again, came out otherwise than the phone. Both are JSON texts, to be compared."""

    __table_args__ = {"sqlite_autoincrement": True}

    id: int | None = Field(default=None, primary_key=True)
    event: str = Field(foreign_key="event.id", index=True)
    job: str = Field(foreign_key="job.id", index=True)
    what: str
    phone: str = Field(sa_type=Text)
    server: str = Field(sa_type=Text)
    found_at: str
