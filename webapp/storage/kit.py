"""The kit: targets, spots, bays, test labels and tools, where they live, their condition and inspection dates."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlmodel import Session, select

from webapp.core.errors import BadInput, NotFound, shown
from webapp.storage.codes import free_code, new_code
from webapp.storage.people import everyone
from webapp.storage.tables import CONDITIONS, KINDS, Item

NAME_CHARACTERS = 60
NOTE_CHARACTERS = 500
DAMAGE_CHARACTERS = 200


@dataclass(frozen=True)
class Upkeep:
    """What changes in the life of an item. Dates are the shop's own calendar days."""

    condition: str = "good"
    inspected_on: date | None = None
    inspection_due: date | None = None
    home: str | None = None
    note: str = ""


def kit(db: Session) -> dict[str, dict[str, Any]]:
    """Return all that carries a label, by code, in the shape that core.scan reads; badges of people who left are out.

    {CODE: {"kind", "is", "name", "condition", "inspection_due": "YYYY-MM-DD" or None, "home": CODE or None}}
    A tool is among them where it is an instrument that states its ``accuracy``, and a bay may have its ``plan``.
    """
    held = {item.code: _as_core(item) for item in items(db) if item.kind != "tool" or item.accuracy}
    for person in everyone(db):
        if person.active:
            badge = {"kind": "badge", "is": "badge", "name": person.name}
            held[person.code] = badge | {"condition": "good", "inspection_due": None, "home": None}
    return held


def items(db: Session) -> list[Item]:
    """Return everything by kind (in the order of KINDS), name and code."""
    return sorted(db.exec(select(Item)), key=lambda item: (KINDS.index(item.kind), item.name, item.code))


def item_of(db: Session, code: str) -> Item:
    """Return the item of that code. Raises NotFound (`item-unknown`)."""
    if (found := db.get(Item, code)) is None:
        raise NotFound("item-unknown", "code", f"code={shown(code)} is not in the kit; look at the kit's page")
    return found


def add_item(
    db: Session,
    kind: str,
    is_: str,
    name: str,
    upkeep: Upkeep = Upkeep(),
    *,
    code: str = "",
    area_mm: tuple[float, float] | None = None,
    accuracy: dict[str, Any] | None = None,
    plan: dict[str, Any] | None = None,
) -> Item:
    """Add an item, with a new code unless one is given. `area_mm` is a bay's width and length, `plan` what it looks
    like from above; `accuracy` is how sure an instrument is.

    Raises BadInput (`item-kind`, `item-name`, `item-home`, ...) or Conflict (`code-taken`).
    """
    if kind not in KINDS:
        raise BadInput("item-kind", "kind", f"kind={shown(kind)} must be one of {', '.join(KINDS)}")
    added = Item(code=free_code(db, code) if code else new_code(db, is_), kind=kind, is_=is_, name=_name(name))
    if area_mm is not None:
        added.width_mm, added.length_mm = area_mm
    added.accuracy, added.plan = accuracy, plan
    _apply(db, added, upkeep)
    return added


def change_item(
    db: Session,
    code: str,
    name: str,
    upkeep: Upkeep,
    accuracy: dict[str, Any] | None = None,
    plan: dict[str, Any] | None = None,
) -> Item:
    """Change an item's name and upkeep, and how sure an instrument is, or what a bay looks like.

    Raises NotFound (`item-unknown`) or BadInput as `add_item` does.
    """
    found = item_of(db, code)
    found.name, found.accuracy, found.plan = _name(name), accuracy, plan
    _apply(db, found, upkeep)
    return found


def report_damage(db: Session, code: str, what: str, by: str, day: str) -> Item:
    """Take an item out of service at once, and add to its note what is wrong, who says so, and the day.

    Raises NotFound (`item-unknown`) or BadInput (`item-damage`).
    """
    found = item_of(db, code)
    words = " ".join(what.split())
    if not 0 < len(words) <= DAMAGE_CHARACTERS:
        message = f"damage={shown(what)} must say in 1 to {DAMAGE_CHARACTERS} characters what is wrong with it"
        raise BadInput("item-damage", "damage", message)
    found.condition = "damaged"
    # The latest comes first, and the oldest gives way: a report is never refused for want of room.
    found.note = f"{day}, {by}: {words}\n{found.note}".strip()[:NOTE_CHARACTERS]
    db.add(found)
    return found


def _apply(db: Session, item: Item, upkeep: Upkeep) -> None:
    if upkeep.condition not in CONDITIONS:
        what = f"condition={shown(upkeep.condition)} must be one of {', '.join(CONDITIONS)}"
        raise BadInput("item-condition", "condition", what)
    if upkeep.inspected_on and upkeep.inspection_due and upkeep.inspection_due < upkeep.inspected_on:
        what = (
            f"inspection_due={upkeep.inspection_due} lies before inspected_on={upkeep.inspected_on}; check both dates"
        )
        raise BadInput("item-dates", "inspection_due", what)
    if len(upkeep.note) > NOTE_CHARACTERS:
        raise BadInput("item-note", "note", f"note={shown(upkeep.note)} must be at most {NOTE_CHARACTERS} characters")
    if upkeep.home:
        home = db.get(Item, upkeep.home)
        if home is None or home.kind != "spot":
            raise BadInput("item-home", "home", f"home={shown(upkeep.home)} must be the code of a spot of the kit")
    item.condition, item.note, item.home = upkeep.condition, upkeep.note.strip(), upkeep.home or None
    item.inspected_on, item.inspection_due = upkeep.inspected_on, upkeep.inspection_due
    db.add(item)
    db.flush()


def _name(text: str) -> str:
    name = " ".join(text.split())
    if not name or len(name) > NAME_CHARACTERS or not name.isprintable():
        raise BadInput("item-name", "name", f"name={shown(text)} must be 1 to {NAME_CHARACTERS} characters in print")
    return name


def _as_core(item: Item) -> dict[str, Any]:
    due = item.inspection_due.isoformat() if item.inspection_due else None
    return {"kind": item.kind, "is": item.is_, "name": item.name, "condition": item.condition} | {
        "inspection_due": due,
        "home": item.home,
        **({"accuracy": item.accuracy} if item.accuracy else {}),
        **({"plan": item.plan} if item.plan else {}),
    }
