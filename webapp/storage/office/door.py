"""The only ways into what head office keeps: for one shop, to take in what it sends, or for somebody's regions.

The database holds to it by itself (row-level security): who came in by another way sees nothing. Shops do not wait for
each other here, as writers within a shop do: each holds its own row.
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, text
from sqlalchemy.engine import Engine

from webapp.storage.engine import beside, session

EVERYWHERE = "*"
_SAY = text("SELECT set_config('baybook.' || :name, :value, true)")
BETWEEN = "\x1f"


@contextmanager
def of_shop(engine: Engine, shop: str) -> Iterator[Connection]:
    """Take in: one transaction in which nothing but this shop's rows is seen or written, kept when the block ends."""
    with beside(engine) as connection:
        connection.execute(_SAY, {"name": "shop", "value": shop})
        yield connection


@contextmanager
def of_regions(engine: Engine, regions: Iterable[str]) -> Iterator[Connection]:
    """Read: what is of shops in these regions; `EVERYWHERE` is all of them."""
    with session(engine) as db:
        connection = db.connection()
        connection.execute(_SAY, {"name": "regions", "value": BETWEEN.join(regions)})
        yield connection


@contextmanager
def of_everything(engine: Engine) -> Iterator[Connection]:
    """Write what is about shops as such: codes, readers, who has left."""
    with beside(engine) as connection:
        connection.execute(_SAY, {"name": "regions", "value": EVERYWHERE})
        yield connection
