"""The kit of all shops that somebody sees: what is overdue, what is due soon, which labels are scanned wrongly."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from flask import render_template, request
from sqlalchemy import RowMapping

from webapp.core.told_kit import SCANNED_DAYS
from webapp.storage.office import door, shops
from webapp.storage.office.kit import Kit, kits
from webapp.web import db, moment, standby
from webapp.web.kit.state import GOOD, SOON, State, of_item

from . import pages, seen_regions
from .asked import narrowed, picks, query

MOST_WRONG = 5
"""Of so many labels of a shop it is told how often they were wrong."""
FILTERS = ("region", "shop")


@dataclass(frozen=True)
class Thing:
    """A thing of a kit, and whether it may be used."""

    item: RowMapping
    state: State


@dataclass(frozen=True)
class Upkeep:
    """A shop's kit: what is to be done about it, the most pressing first, and the labels that were wrong most often."""

    shop: RowMapping
    told_at: str | None
    count: int
    things: list[Thing]
    wrong: list[RowMapping]

    @property
    def overdue(self) -> int:
        return sum(not one.state.usable for one in self.things)


@pages.get("/kit")
@standby.may_read
def kit() -> str:
    given, today = query(request.args, *FILTERS), date.fromisoformat(moment.today())
    with door.of_regions(db.reading(), seen_regions()) as held:
        found = [_upkeep(one, today) for one in kits(held, today + SOON, given.get("region"), given.get("shop"))]
        lists = picks(shops.all_shops(held), None, given)
    return render_template(
        "shops/kit.html", regions=_by_region(found), query=given, picks=lists, narrowed=narrowed(lists, given),
        overdue=sum(one.overdue for one in found), days=SCANNED_DAYS,
    )  # fmt: skip


def _upkeep(kit: Kit, today: date) -> Upkeep:
    states = [Thing(one, of_item(one["condition"], one["inspection_due"], today)) for one in kit.items]
    pressing = [one for one in states if one.state is not GOOD]
    pressing.sort(key=lambda one: (one.state.usable, one.item["inspection_due"] or date.min, one.item["name"]))
    wrong = sorted((one for one in kit.items if one["wrong"]), key=lambda one: (-one["wrong"], one["name"]))
    return Upkeep(kit.shop, kit.told_at, kit.count, pressing, wrong[:MOST_WRONG])


def _by_region(found: Sequence[Upkeep]) -> dict[str, list[Upkeep]]:
    made: dict[str, list[Upkeep]] = {}
    for one in found:
        made.setdefault(one.shop["region"], []).append(one)
    return made
