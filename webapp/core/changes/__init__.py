"""What a release changes in the library, told so that somebody can approve it: file by file, all that differs.

A library is documents here, as its files hold them, by their places. Which files differ is told by their bytes, and
each of those is mentioned, whatever it is that cannot be put into words.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..lengths import MM, Unit
from .walk import Leaf, Part, Way, called, keys_of, leaves, moved, same

__all__ = ["Change", "Note", "Part", "changes"]

Documents = Mapping[str, Any]
JUDGED = ("caution", "measure", "hold")
"""What of a new step is told beside its sentence: whoever approves it has to know its limits."""
SORTS = ("procedure", "vehicle", "fragments", "catalogue", "translation")


@dataclass(frozen=True)
class Note:
    """One thing that differs. `what` names the message that says it; `at` is the step it is about, in the library's
    words, `way` leads on from there; `before` and `after` are texts and figures, empty where there is none.
    """

    what: str
    at: str = ""
    way: Way = ()
    before: str = ""
    after: str = ""


@dataclass(frozen=True)
class Change:
    """A file that differs. `state` is new, gone or changed; `title` is what people call it, or its place."""

    place: str
    sort: str
    title: str
    state: str
    notes: tuple[Note, ...]


def changes(before: Documents, after: Documents, differ: Collection[str], unit: Unit = MM) -> list[Change]:
    """Every file of `differ` with what differs in it: procedures first, then vehicles, then what they share."""
    made = [_change(before, after, place, unit) for place in sorted(differ)]
    return sorted(made, key=lambda one: (SORTS.index(one.sort), one.state != "new", one.title))


def sort_of(place: str) -> str:
    """Which sort of file stands at a place."""
    if place.startswith("translations/"):
        return "translation"
    named = {"shared/catalogue.yaml": "catalogue", "shared/fragments.yaml": "fragments"}
    return named.get(place) or ("vehicle" if place.startswith("vehicles/") else "procedure")


def _change(before: Documents, after: Documents, place: str, unit: Unit) -> Change:
    was, now, sort = before.get(place), after.get(place), sort_of(place)
    title = _title(now if now is not None else was, place)
    if was is None or now is None:
        notes = tuple(_whole(sort, now if now is not None else was))
        return Change(place, sort, title, "new" if was is None else "gone", notes)
    found = tuple(_notes(sort, was, now, after, unit))
    left = Note("layout" if same(was, now) else "otherwise")
    return Change(place, sort, title, "changed", found or (left,))


def _title(document: Any, place: str) -> str:
    said = document if isinstance(document, dict) else {}
    named = said.get("title") or " ".join(str(said[key]) for key in ("maker", "model") if said.get(key))
    return str(named or place)


def _whole(sort: str, document: Any) -> Iterator[Note]:
    """What a file that is new, or gone, is about."""
    if sort == "procedure":
        for item in _list(document.get("steps")):
            yield Note("step", called(item, 0))
    elif sort == "vehicle":
        for name in document.get("specs") or {}:
            yield Note("spec", str(name))
    else:
        yield Note("whole")


def _notes(sort: str, was: Any, now: Any, after: Documents, unit: Unit) -> Iterator[Note]:
    if sort == "translation":
        for leaf in leaves(was, now, unit):
            yield Note("translation", leaf.way[0].name if leaf.way else "", (), leaf.before or "", leaf.after or "")
        return
    if not isinstance(was, dict) or not isinstance(now, dict):
        return
    if sort == "fragments":
        yield from _fragments(was, now, after, unit)
        return
    for leaf in leaves(_without_steps(was), _without_steps(now), unit):
        yield _note(leaf)
    if sort == "procedure":
        yield from _steps(_list(was.get("steps")), _list(now.get("steps")), unit)


def _fragments(was: dict[str, Any], now: dict[str, Any], after: Documents, unit: Unit) -> Iterator[Note]:
    old, new = (side.get("fragments") or {} for side in (was, now))
    for name in [*new, *(one for one in old if one not in new)]:
        was_there, is_there = (_list((side.get(name) or {}).get("steps")) for side in (old, new))
        found = list(_steps(was_there, is_there, unit))
        if found or (name in old) != (name in new):
            yield Note("used-by", name, after=", ".join(_users(after, name)))
        yield from found


def _users(after: Documents, fragment: str) -> list[str]:
    """The procedures that take in a fragment."""
    procedures = {place: one for place, one in after.items() if sort_of(place) == "procedure" and isinstance(one, dict)}
    return sorted(
        _title(one, place)
        for place, one in procedures.items()
        if any(isinstance(item, dict) and item.get("use") == fragment for item in _list(one.get("steps")))
    )


def _steps(was: Sequence[Any], now: Sequence[Any], unit: Unit) -> Iterator[Note]:
    old, new = dict(zip(keys_of(was), was, strict=True)), dict(zip(keys_of(now), now, strict=True))
    for number, (key, item) in enumerate(new.items()):
        here = called(item, number)
        if key not in old:
            yield Note("step-new", here)
            judged = {name: item[name] for name in JUDGED if name in item} if isinstance(item, dict) else {}
            yield from (_note(leaf, here) for leaf in leaves({}, judged, unit))
            continue
        for leaf in leaves(old[key], item, unit):
            yield _note(leaf, called(old[key], number))
    for number, (key, item) in enumerate(old.items()):
        if key not in new:
            yield Note("step-gone", called(item, number))
    if moved(list(old), list(new)):
        yield Note("step-order", before=_order(was), after=_order(now))


def _order(items: Sequence[Any]) -> str:
    return " → ".join(called(one, number) for number, one in enumerate(items))


def _note(leaf: Leaf, at: str = "") -> Note:
    before, after = leaf.before or "", leaf.after or ""
    if not at and [one.name for one in leaf.way] == ["revision"]:
        return Note("revision", "", (), before, after)
    what = "order" if leaf.order else "set" if leaf.before is None else "unset" if leaf.after is None else "becomes"
    return Note(what, at, leaf.way, before, after)


def _without_steps(document: dict[str, Any]) -> dict[str, Any]:
    return {key: one for key, one in document.items() if key != "steps"}


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []
