"""How shops stand: what was kept apart, and what is still to come."""

from dataclasses import dataclass

from sqlalchemy import Connection, RowMapping, func, select

from webapp.storage.office.tables import aside, photo


@dataclass(frozen=True)
class Count:
    """Of one shop, how many entries were kept apart, and how many photos are to come."""

    apart: int = 0
    photos: int = 0


def counts(db: Connection) -> dict[str, Count]:
    """Of the shops that are seen; who has neither is not there."""
    apart = {
        row.shop: row.n for row in db.execute(select(aside.c.shop, func.count().label("n")).group_by(aside.c.shop))
    }
    lacking = select(photo.c.shop, func.count(photo.c.sha256.distinct()).label("n")).where(~photo.c.here)
    photos = {row.shop: row.n for row in db.execute(lacking.group_by(photo.c.shop))}
    return {shop: Count(apart.get(shop, 0), photos.get(shop, 0)) for shop in apart.keys() | photos.keys()}


def apart(db: Connection, shop: str) -> list[RowMapping]:
    """What was kept apart of a shop, the newest first."""
    of_it = select(aside.c.number, aside.c.job, aside.c.code, aside.c.message, aside.c.received_at)
    return list(db.execute(of_it.where(aside.c.shop == shop).order_by(aside.c.number.desc())).mappings())
