"""What shops told of their kit: all of it as it is now, in place of what was told before."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy import Connection, RowMapping, delete, func, or_, select
from sqlalchemy.dialects.postgresql import insert

from webapp.storage.office.tables import kit, kit_item, shop


@dataclass(frozen=True)
class Kit:
    """A shop's kit: when it was told of, None for never; how many things it has, and those that need looking at."""

    shop: RowMapping
    told_at: str | None
    count: int
    items: list[RowMapping]


def digest(db: Connection, name: str) -> str | None:
    """The SHA-256 of what a shop told last, None for nothing."""
    return db.execute(select(kit.c.sha256).where(kit.c.shop == name)).scalar()


def keep(db: Connection, name: str, told: Sequence[dict[str, Any]], sha256: str, now: str) -> None:
    """Keep what a shop told, in a transaction of `door.of_shop`."""
    said = {"sha256": sha256, "told_at": now}
    # The row of the shop's kit is held from here on: what is told twice at once comes one after the other.
    db.execute(insert(kit).values(shop=name, **said).on_conflict_do_update(index_elements=["shop"], set_=said))
    db.execute(delete(kit_item).where(kit_item.c.shop == name))
    if told:
        db.execute(insert(kit_item), [{"shop": name, **one} for one in told])


def kits(db: Connection, until: date, region: str | None = None, name: str | None = None) -> list[Kit]:
    """Those of the shops that are seen and have not left, by region and name.

    Of the things those that are damaged, due by that day, or were scanned wrongly.
    """
    wanted = select(shop, kit.c.told_at).outerjoin(kit, kit.c.shop == shop.c.id).where(shop.c.left_at.is_(None))
    if region:
        wanted = wanted.where(shop.c.region == region)
    if name:
        wanted = wanted.where(shop.c.id == name)
    rows = db.execute(wanted.order_by(shop.c.region, shop.c.name, shop.c.id)).mappings().all()
    of_these = kit_item.c.shop.in_([one["id"] for one in rows])
    told = select(kit_item.c.shop, func.count().label("n")).where(of_these).group_by(kit_item.c.shop)
    counts = {row.shop: row.n for row in db.execute(told)}
    pressing = (kit_item.c.condition == "damaged", kit_item.c.inspection_due <= until, kit_item.c.wrong > 0)
    things: dict[str, list[RowMapping]] = {}
    for row in db.execute(select(kit_item).where(of_these, or_(*pressing))).mappings():
        things.setdefault(row["shop"], []).append(row)
    return [Kit(row, row["told_at"], counts.get(row["id"], 0), things.get(row["id"], [])) for row in rows]
