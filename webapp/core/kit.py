"""The shop's kit as a scan meets it: which item a name stands for, whether it may be used, what is placed already.

A kit is a plain mapping, as it travels to the phone:
``{code: {"kind", "is", "name", "condition": "good" | "damaged", "inspection_due": "YYYY-MM-DD" or None}}``.
A name that a procedure asks for stands for an item by the item's code or by what it ``is``, so that any of three
equal reflectors will do. Pairs are plain mappings too; with only a target or only a spot, that label is simply read.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Literal

Kit = Mapping[str, Mapping[str, Any]]
Pair = Mapping[str, Any]
Role = Literal["target", "spot"]
ROLES: tuple[Role, Role] = ("target", "spot")


def stands_for(name: str | None, code: str | None, kit: Kit) -> bool:
    """Say whether the item with this code is what the name asks for."""
    return name is not None and code is not None and name in (code, kit.get(code, {}).get("is"))


def codes_for(name: str | None, kit: Kit) -> list[str]:
    """Return the codes of all items that a name stands for, sorted: a JSON object has no order to go by."""
    return [code for code in sorted(kit) if stands_for(name, code, kit)]


def open_pairs(expected: Sequence[Pair], placed: Sequence[Pair], kit: Kit) -> list[Pair]:
    """Return the expected pairs that no placed pair fulfils yet, in their order. Empty: the step is complete."""
    left = list(expected)
    for done in placed:
        fulfilled = next((pair for pair in left if _fulfils(pair, done, kit)), None)
        if fulfilled is not None:
            left.remove(fulfilled)
    return left


def _fulfils(pair: Pair, done: Pair, kit: Kit) -> bool:
    return all(pair.get(role) is None or stands_for(pair[role], done.get(role), kit) for role in ROLES)


def trouble(code: str, kit: Kit, today: str | None) -> Literal["damaged", "overdue"] | None:
    """Return why an item may not be used. Its inspection is good up to and on the day it is due."""
    if kit[code].get("condition") == "damaged":
        return "damaged"
    due = kit[code].get("inspection_due")
    return "overdue" if due and today and due < today else None


def stand_in(code: str, kit: Kit, placed: Sequence[Pair], today: str | None) -> str | None:
    """Return the first code of another item of the same kind that is free and fit for use, if there is one."""
    kind = kit[code].get("is")
    taken = {pair.get(role) for pair in placed for role in ROLES}
    alike = [other for other in sorted(kit) if kind and kit[other].get("is") == kind and other not in taken]
    return next((other for other in alike if not trouble(other, kit, today)), None)


def name_of(code: str, kit: Kit) -> str:
    """Return the name that people use, or the code where the item has none."""
    return str(kit.get(code, {}).get("name") or code)


def code_in(pair: Pair, role: Role, kit: Kit) -> str:
    """Return the code of the one item that a pair asks for, or the name itself where several would do."""
    codes = codes_for(pair[role], kit)
    return codes[0] if len(codes) == 1 else str(pair[role])


def name_in(pair: Pair, role: Role, kit: Kit) -> str:
    """Return the name that people use for one half of a pair."""
    return str(pair.get(f"{role}_name") or name_of(code_in(pair, role, kit), kit))


def bays(kit: Kit) -> list[tuple[str, str]]:
    """Return code and name of every bay, by name."""
    found = [(code, str(item["name"])) for code, item in kit.items() if item.get("kind") == "bay"]
    return sorted(found, key=lambda one: (one[1], one[0]))
