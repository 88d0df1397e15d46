"""What a shop tells head office of its kit: what a thing is, when it is to be inspected, how often its label was wrong.

Nobody is named in it, and no note goes along. It is told whole, and again only when something in it has changed.
"""

from collections.abc import Mapping
from typing import Any

from .errors import BadInput, shown
from .fields import Fields
from .took import storable, whole

KIT = "baybook-kit"
FORMAT = 1
TEXTS = ("code", "kind", "is", "name", "condition")
DAYS = ("inspected_on", "inspection_due")
COUNTS = ("wrong", "scans")
MOST, LONGEST = 20_000, 200
SCANNED_DAYS = 28
"""Scans are counted over so many whole days."""


def read_kit(given: Any) -> list[dict[str, Any]]:
    """The things of a kit, each a mapping of `TEXTS`, `DAYS` (`YYYY-MM-DD` or None) and `COUNTS`.

    Raises BadInput: `kit-format`, `kit-newer`, or what `Fields` raises, naming the field.
    """
    if not isinstance(given, Mapping) or not isinstance(given.get(KIT), int):
        what = f'{KIT} is missing: a kit is a JSON object that begins with "{KIT}": {FORMAT}'
        raise BadInput("kit-format", KIT, what)
    if given[KIT] > FORMAT:
        what = (
            f"{KIT}={given[KIT]} is from a newer Baybook, this one reads up to {FORMAT}; bring head office up to date"
        )
        raise BadInput("kit-newer", KIT, what)
    found = [_item(one) for one in Fields(given, "", [KIT, "items"]).each("items", MOST, [*TEXTS, *DAYS, *COUNTS])]
    seen = set[str]()
    for number, one in enumerate(found):
        if one["code"] in seen:
            what = f"items[{number}].code={shown(one['code'])} stands there twice; a code is one thing's"
            raise BadInput("kit-format", f"items[{number}].code", what)
        seen.add(one["code"])
    return found


def _item(fields: Fields) -> dict[str, Any]:
    texts = storable(fields, {name: fields.text_or_none(name) or "" for name in TEXTS})
    for name, value in texts.items():
        if len(value) > LONGEST:
            what = f"{fields.at(name)} must be at most {LONGEST} characters"
            raise BadInput("text-too-long", fields.at(name), what)
    days = {name: fields.day_or_none(name) for name in DAYS}
    return texts | days | {name: whole(fields, name, 2**31) for name in COUNTS}
