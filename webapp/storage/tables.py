"""What the shop keeps, a class a table.

Instants are text: ISO 8601, UTC, milliseconds, as in the journal's events; so they sort, and no database or driver can
move them to another time zone. JSON columns are replaced whole, never changed in place (the session would not see it).
"""

from datetime import date
from typing import Any

from sqlalchemy import JSON, BigInteger, Column, Index, Integer, Text, UniqueConstraint
from sqlmodel import Field, SQLModel

# Every constraint has a name, so that a later migration can speak of it on any database.
SQLModel.metadata.naming_convention = {
    "ix": "ix_%(column_0_N_label)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}

ROLES = ("technician", "apprentice", "supervisor", "manager")
KINDS = ("target", "spot", "bay", "test-label", "tool")
CONDITIONS = ("good", "damaged")
SORTS = ("calibration", "day")
PHASES = ("planning", "open", "finished", "abandoned")


class Person(SQLModel, table=True):
    """Somebody of the shop, known by a badge. Who leaves is made inactive: the records still name them.

    `short` names the procedures of which they read the short text (`core.short`): a list as JSON, always spelled by
    `people.spelled`, since a tap compares it with what the database has. `levels` says what was said last of how they
    work (`core.competence`), by calibration: an object as JSON, always spelled by `people.in_order`.
    """

    code: str = Field(primary_key=True)
    name: str
    role: str
    pin_hash: str | None = None
    active: bool = True
    short: str = Field(default="[]", sa_type=Text, sa_column_kwargs={"server_default": "[]"})
    levels: str = Field(default="{}", sa_type=Text, sa_column_kwargs={"server_default": "{}"})


class Fact(SQLModel, table=True):
    """What the shop knows of itself, by name."""

    name: str = Field(primary_key=True)
    value: str


class Competence(SQLModel, table=True):
    """Somebody was said to work a calibration `alone` or `supervised`: by whom, when and why. Rows are only added; the
    last one of a person and a calibration counts, and stands in `person.levels` as well.
    """

    __table_args__ = {"sqlite_autoincrement": True}

    id: int | None = Field(default=None, primary_key=True)
    person: str = Field(foreign_key="person.code", index=True)
    calibration: str
    level: str
    by: str
    at: str
    why: str = Field(sa_type=Text)


class PinTry(SQLModel, table=True):
    """How often in a row a person's PIN was wrong on one phone, and until when it may not be tried there again."""

    __tablename__ = "pin_try"

    phone: str = Field(primary_key=True)
    person: str = Field(primary_key=True)
    wrong: int = 0
    rests_until: str | None = None


class Item(SQLModel, table=True):
    """One labelled thing of the kit. `is` names its kind of target or spot, a word of the catalogue in procedures."""

    code: str = Field(primary_key=True)
    kind: str = Field(index=True)
    is_: str = Field(sa_column=Column("is", Text, nullable=False))
    name: str
    condition: str = "good"
    inspected_on: date | None = None
    inspection_due: date | None = None
    home: str | None = Field(default=None, foreign_key="item.code")
    note: str = ""
    width_mm: float | None = None
    length_mm: float | None = None
    # Of an instrument: how sure it is, {"shape", "half_width", "per_m", "k"} (core.measure.instruments.Instrument).
    accuracy: dict[str, Any] | None = Field(default=None, sa_type=JSON)
    # Of a bay: {"corners": [[x, y], ...], "obstacles": [{"name", "corners"}, ...]} in mm from where the middle between
    # the front wheels comes to stand, x forward and y to the left.
    plan: dict[str, Any] | None = Field(default=None, sa_type=JSON)


class Sheet(SQLModel, table=True):
    """The steps of a job, frozen. `hash` is the SHA-256 of `body`, in hexadecimal; `body` is canonical JSON."""

    hash: str = Field(primary_key=True)
    body: str


class Job(SQLModel, table=True):
    """One vehicle, one repair order, one visit; or the day's equipment check, which has no vehicle."""

    id: str = Field(primary_key=True)
    sort: str
    phase: str = Field(index=True)
    created_at: str
    made_by: str | None = None
    repair_order: str = ""
    vin: str = Field(default="", index=True)
    vehicle: str | None = None
    qualifiers: dict[str, str] = Field(default_factory=dict, sa_type=JSON)
    odometer_km: float | None = None
    reasons: list[str] = Field(default_factory=list, sa_type=JSON)
    lamps: str = ""
    codes: str = ""
    # {"added": {procedure: why}, "struck": {procedure: why}}: what a person changed in the proposal.
    plan: dict[str, Any] = Field(default_factory=lambda: {"added": {}, "struck": {}}, sa_type=JSON)
    bay: str | None = Field(default=None, foreign_key="item.code")
    sheet: str | None = Field(default=None, foreign_key="sheet.hash")
    started_at: str | None = None
    finished_at: str | None = None


class EventRow(SQLModel, table=True):
    """One event of the journal (webapp.core.events.Event) and its place in it. Rows are only ever added."""

    __tablename__ = "event"
    __table_args__ = (
        UniqueConstraint("id"),
        UniqueConstraint("device", "seq"),
        Index(None, "job", "server_seq"),
        {"sqlite_autoincrement": True},  # a number is never given twice
    )

    server_seq: int | None = Field(
        default=None,
        sa_column=Column(BigInteger().with_variant(Integer, "sqlite"), primary_key=True, autoincrement=True),
    )
    id: str
    job: str = Field(foreign_key="job.id")
    device: str
    seq: int
    kind: str
    step: str | None = None
    attempt: int
    turn: int
    at: str
    mono_s: float
    boot: str
    person: str | None = None
    data: str = Field(sa_type=Text)
    round: int = Field(default=0, sa_column_kwargs={"server_default": "0"})
    before: str | None = None
    # The SHA-256 of its line as it was recorded, where something was erased of it since.
    was: str | None = None


class Attachment(SQLModel, table=True):
    """A photo kept with a job's event; its bytes lie in the data folder, named by their SHA-256."""

    event: str = Field(primary_key=True, foreign_key="event.id")
    sha256: str = Field(index=True)
    media: str
    size: int
    job: str = Field(foreign_key="job.id", index=True)
    made_at: str


class JobTime(SQLModel, table=True):
    """How long one calibration of a finished job took: its own steps, and its share of the shared set-up.

    `pauses_s` are the pauses of the whole job by reason: a pause belongs to no calibration.
    """

    __tablename__ = "job_time"
    __table_args__ = (Index(None, "calibration", "finished_at"),)

    job: str = Field(primary_key=True, foreign_key="job.id")
    calibration: str = Field(primary_key=True)
    own_s: float
    shared_s: float
    waited_s: float
    pauses_s: dict[str, float] = Field(default_factory=dict, sa_type=JSON)
    outcome: str
    first_time_pass: bool | None
    estimated: bool
    finished_at: str
    vehicle: str | None
    bay: str | None
    person: str | None
    revision: int
    placing: str | None = None


class StepTime(SQLModel, table=True):
    """How long one step of a finished job took. `calibration` is None for a step of the shared set-up.

    `serves` names the calibrations among which its time is divided.
    """

    __tablename__ = "step_time"

    job: str = Field(primary_key=True, foreign_key="job.id")
    step: str = Field(primary_key=True)
    section: str = Field(index=True)
    calibration: str | None = None
    serves: list[str] = Field(default_factory=list, sa_type=JSON)
    seconds: float
    waited_s: float
    attempts: int
    wrong_scans: int = Field(default=0, sa_column_kwargs={"server_default": "0"})
    failures: int = Field(default=0, sa_column_kwargs={"server_default": "0"})
    # What was found to be wrong here, in the words of the sheet or of who found it.
    causes: list[str] = Field(default_factory=list, sa_type=JSON, sa_column_kwargs={"server_default": "[]"})
    estimated: bool
    revision: int
