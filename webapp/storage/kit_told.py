"""The shop's kit as head office is told of it."""

import json
from datetime import date, timedelta
from typing import Any

from sqlmodel import Session

from webapp.core.handling import LabelScans, handling
from webapp.core.told_kit import FORMAT, KIT, SCANNED_DAYS
from webapp.storage.kit import items
from webapp.storage.scans import told_between
from webapp.storage.tables import Item

OF_A_PLACE = ("bay", "spot")
"""Nothing is done about these at a certain day."""


def kit_told(db: Session, day: date) -> bytes:
    """What is told on that day (UTC), to the byte the same while nothing in it has changed."""
    since, until = (f"{one}T00:00:00.000Z" for one in (day - timedelta(days=SCANNED_DAYS), day))
    scans = handling(told_between(db, since, until), {}).labels
    told = [_told(one, scans.get(one.code, LabelScans())) for one in items(db) if one.kind not in OF_A_PLACE]
    return json.dumps({KIT: FORMAT, "items": told}, ensure_ascii=False, separators=(",", ":")).encode()


def _told(item: Item, scans: LabelScans) -> dict[str, Any]:
    days = {name: str(day) if (day := getattr(item, name)) else None for name in ("inspected_on", "inspection_due")}
    about = {"code": item.code, "kind": item.kind, "is": item.is_, "name": item.name, "condition": item.condition}
    return about | days | {"wrong": scans.wrongs, "scans": scans.n}
