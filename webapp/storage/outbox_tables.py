"""The tables of a shop that belongs to a head office: how far it has sent its log, and what came back."""

from sqlalchemy import BigInteger, Text
from sqlmodel import Field, SQLModel

from webapp.storage import tables  # noqa: F401 - its names for constraints must stand before a table is made


class HeadOffice(SQLModel, table=True):
    """Where this shop sends its finished jobs, at most one row. `name` is what head office calls this shop, `key` its
    public key as JWK, `authority` the certificates it is trusted by where those are not the machine's own.

    `size` entries have arrived there, and a head of `head_size` was cosigned. `next_at` is when it is tried again,
    `why` what the last try failed at, `failures` how many did in a row; `photos` how many it still lacks.
    """

    __tablename__ = "head_office"

    id: int = Field(default=1, primary_key=True)
    url: str
    shop: str
    name: str
    key: str = Field(sa_type=Text)
    authority: str = Field(default="", sa_type=Text)
    joined_at: str
    size: int = Field(default=0, sa_type=BigInteger)
    head_size: int = Field(default=0, sa_type=BigInteger)
    photos: int = 0
    tried_at: str | None = None
    done_at: str | None = None
    next_at: str | None = None
    failures: int = 0
    code: str | None = None
    why: str | None = Field(default=None, sa_type=Text)


class Cosigned(SQLModel, table=True):
    """A head of this shop's log that head office has signed too: from then on neither can rewrite it alone."""

    size: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    root: str
    at: str
    shop: str
    signature: str


class KeptApart(SQLModel, table=True):
    """An entry that arrived, with something beside it that head office could not take in: with why."""

    __tablename__ = "kept_apart"

    number: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    job: str
    code: str
    message: str = Field(sa_type=Text)
    at: str
