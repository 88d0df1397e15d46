"""How the clear floor of a plan fits the bay that was chosen for it."""

from dataclasses import asdict
from typing import Any

from sqlmodel import Session

from webapp.core.measure.area import bay_of, fit, middle_bay, rectangle
from webapp.core.plan import planned
from webapp.core.view.area import UNKNOWN
from webapp.storage.tables import Item
from webapp.web import db


def fit_of(held: Session, facts: dict[str, Any]) -> dict[str, Any]:
    """As `core.view.area` shows it. The bay's plan counts; of a bay with a size alone, whether it is large enough."""
    library = db.library()
    outline = {f"{name}_mm": length.value for name, length in library.vehicles[facts["vehicle"]].outline}
    needed = [library.procedures[one.procedure].area for one in planned(library, facts)]
    areas = [
        rectangle(outline, {f"{name}_mm": length.value for name, length in area}) for area in needed if area is not None
    ]
    item = held.get(Item, facts["bay"]) if facts["bay"] else None
    if item is None or not areas:
        return UNKNOWN
    if item.plan:
        bay = bay_of(item.plan)
    elif item.width_mm and item.length_mm:
        bay = middle_bay(item.width_mm, item.length_mm, areas)
    else:
        return UNKNOWN
    found = fit(bay, areas)
    about = {"known": True, "bay": item.name, "middle": not item.plan}
    return about | asdict(found) | {"shift": list(found.shift) if found.shift else None}
