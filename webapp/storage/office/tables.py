"""The tables of head office, as statements name them. The migrations make them, with their parts and policies."""

from sqlalchemy import BigInteger, Boolean, Column, Date, Double, Integer, LargeBinary, MetaData, Table, Text

SCHEMA = "office"
metadata = MetaData(schema=SCHEMA)
PARTED = ("event", "job", "sheet", "time")
"""Those that grow with the jobs: cut into a part for each month in which jobs ended. In the order in which a bundle is
kept: who makes their parts waits for each in turn, and in another order the two could wait for each other."""


def _texts(*names: str) -> list[Column[str]]:
    return [Column(name, Text) for name in names]


shop = Table(
    "shop", metadata,
    *_texts("id", "name", "region", "key", "joined_at", "joined_by"),
    Column("log", Integer), Column("size", BigInteger), Column("head_size", BigInteger),
    *_texts("head_root", "seen_at", "version", "refused_at", "refused", "left_at", "left_by"),
    Column("release", Integer), Column("release_at", Text),
)  # fmt: skip
code = Table("code", metadata, *_texts("hash", "name", "region", "shop", "made_by", "ends_at", "used_at"))
reader = Table("reader", metadata, *_texts("person", "region"))
head = Table(
    "head", metadata, Column("shop", Text), Column("log", Integer), Column("size", BigInteger),
    *_texts("root", "at", "signature", "cosigned_at", "cosignature"),
)  # fmt: skip
entry = Table(
    "entry", metadata, Column("shop", Text), Column("log", Integer), Column("number", BigInteger),
    *_texts("job", "text"), Column("ended_on", Date),
)  # fmt: skip
job = Table(
    "job", metadata, *_texts("shop", "id"), Column("ended_on", Date), *_texts("phase", "sheet", "journal"),
    Column("events", Integer), Column("amendments", Text), Column("erased", Boolean), Column("spent", Text),
)  # fmt: skip
sheet = Table("sheet", metadata, *_texts("shop", "hash"), Column("ended_on", Date), Column("body", Text))
event = Table(
    "event", metadata, *_texts("shop", "job", "device"), Column("seq", BigInteger), Column("ended_on", Date),
    *_texts("sha256", "line"),
)  # fmt: skip
time = Table(
    "time", metadata, *_texts("shop", "job", "calibration"), Column("ended_on", Date),
    *(Column(name, Double) for name in ("own_s", "shared_s", "waited_s")),
    Column("outcome", Text), Column("first_time_pass", Boolean), Column("estimated", Boolean),
    *_texts("vehicle", "bay", "placed"), Column("revision", Integer),
)  # fmt: skip
photo = Table("photo", metadata, *_texts("shop", "job", "sha256"), Column("here", Boolean))
aside = Table(
    "aside", metadata, Column("shop", Text), Column("log", Integer), Column("number", BigInteger),
    *_texts("job", "code", "field", "message", "body", "received_at"),
)  # fmt: skip
release = Table(
    "release",
    metadata,
    Column("number", Integer),
    *_texts("manifest", "sha256", "signature", "made_at", "made_by", "note"),
)
release_file = Table("release_file", metadata, Column("sha256", Text), Column("body", LargeBinary))
release_answer = Table(
    "release_answer", metadata, Column("shop", Text), Column("log", Integer), Column("id", BigInteger),
    Column("number", Integer), *_texts("decision", "at", "by", "why"),
)  # fmt: skip
kit = Table("kit", metadata, Column("shop", Text, primary_key=True), *_texts("sha256", "told_at"))
kit_item = Table(
    "kit_item", metadata, *_texts("shop", "code", "kind", "is", "name", "condition"),
    *(Column(name, Date) for name in ("inspected_on", "inspection_due")),
    *(Column(name, Integer) for name in ("wrong", "scans")),
)  # fmt: skip
