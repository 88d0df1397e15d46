"""What differs between two documents of the library, place by place, down to the single text or figure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from ..lengths import MM, Unit
from .figures import NUMBERS, in_short, in_unit

NAMED = ("figures", "specs", "needs", "limits", "cautions", "targets", "spots", "fragments", "only-if")
"""Fields whose keys are names that the library gives, and no fields of its schema."""
KEYS = ("id", "name", "value", "use", "cause", "spot", "target")
CALLED = ("do", "label", "ask", "cause", "name", "value", "use", "id", "spot", "target")


@dataclass(frozen=True)
class Part:
    """One step of the way to a place: a field of the schema, or something by the name or text that people know."""

    name: str
    field: bool


Way = tuple[Part, ...]


@dataclass(frozen=True)
class Leaf:
    """A text or a figure that differs; None where there is none. `order`: the same items stand in another order."""

    way: Way
    before: str | None
    after: str | None
    order: bool = False


def leaves(before: Any, after: Any, unit: Unit = MM, way: Way = ()) -> Iterator[Leaf]:
    """Everything that differs, in the order of the later document, then what is gone."""
    if same(before, after):
        return
    if _is_figure(before) or _is_figure(after):
        yield from _figure(before, after, unit, way)
    elif isinstance(before, dict | None) and isinstance(after, dict | None):
        yield from _fields(before or {}, after or {}, unit, way)
    elif isinstance(before, list | None) and isinstance(after, list | None):
        yield from _items(before or [], after or [], unit, way)
    else:
        yield Leaf(way, _text(before, unit), _text(after, unit))


def same(before: Any, after: Any) -> bool:
    """Whether two values are alike, a number and a true or false of the same size not among them."""
    if type(before) is not type(after):
        return False
    if isinstance(before, dict):
        return before.keys() == after.keys() and all(same(before[key], after[key]) for key in before)
    if isinstance(before, list):
        return len(before) == len(after) and all(map(same, before, after))
    return bool(before == after)


def called(item: Any, number: int) -> str:
    """An item of a list as people know it: by its sentence or label, else its name, else counted from one."""
    if isinstance(item, dict):
        return next((str(item[key]) for key in CALLED if isinstance(item.get(key), str)), str(number + 1))
    return str(number + 1)


def keys_of(items: Sequence[Any]) -> list[str]:
    """What tells the items of a list apart, whatever else they say; their numbers where nothing does."""
    found = [_key(one) for one in items]
    if None in found or len(set(found)) != len(found):
        return [str(number) for number in range(len(items))]
    return [one or "" for one in found]


def moved(before: Sequence[str], after: Sequence[str]) -> bool:
    """Whether what both have stands in another order."""
    return [one for one in before if one in set(after)] != [one for one in after if one in set(before)]


def _key(item: Any) -> str | None:
    if not isinstance(item, dict):
        return None
    named = [f"{key}:{item[key]}" for key in KEYS if isinstance(item.get(key), str)]
    return f"{named[0]}:{item.get('as', '')}" if named else None


def _is_figure(value: Any) -> bool:
    return isinstance(value, dict) and any(isinstance(value.get(key), str) for key in NUMBERS)


def _figure(before: Any, after: Any, unit: Unit, way: Way) -> Iterator[Leaf]:
    if not (isinstance(before, dict | None) and isinstance(after, dict | None)):  # `spec` in place of limits
        yield Leaf(way, _short(before, unit), _short(after, unit))
        return
    was, now = before or {}, after or {}
    if any(not same(was.get(key), now.get(key)) for key in NUMBERS):
        yield Leaf(way, _short(before, unit), _short(after, unit))
    yield from leaves(_without_numbers(was), _without_numbers(now), unit, way)


def _without_numbers(figure: dict[str, Any]) -> dict[str, Any]:
    return {key: one for key, one in figure.items() if key not in NUMBERS}


def _short(value: Any, unit: Unit) -> str | None:
    return in_short(value, unit) if isinstance(value, dict) else _text(value, unit)


def _fields(before: dict[str, Any], after: dict[str, Any], unit: Unit, way: Way) -> Iterator[Leaf]:
    is_field = not (way and way[-1].field and way[-1].name in NAMED)
    for key in [*after, *(one for one in before if one not in after)]:
        here = (*way, Part(key, is_field))
        if key in before and key in after:
            yield from leaves(before[key], after[key], unit, here)
            continue
        found = list(leaves(before.get(key), after.get(key), unit, here))
        text = "" if not found else None
        yield from found or [Leaf(here, text if key in before else None, text if key in after else None)]


def _items(before: list[Any], after: list[Any], unit: Unit, way: Way) -> Iterator[Leaf]:
    if not any(isinstance(one, dict | list) for one in (*before, *after)):
        yield Leaf(way, _text(before, unit), _text(after, unit))
        return
    old, new = dict(zip(keys_of(before), before, strict=True)), dict(zip(keys_of(after), after, strict=True))
    for number, key in enumerate([*new, *(one for one in old if one not in new)]):
        here = (*way, Part(called(new.get(key, old.get(key)), number), False))
        yield from leaves(old.get(key), new.get(key), unit, here)
    if moved(list(old), list(new)):
        yield Leaf(way, _names(before), _names(after), order=True)


def _names(items: list[Any]) -> str:
    return ", ".join(called(one, number) for number, one in enumerate(items))


def _text(value: Any, unit: Unit) -> str | None:
    if value is None:
        return None
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "; ".join(_text(one, unit) or "–" for one in value)
    if isinstance(value, dict):
        return ", ".join(f"{key}: {_text(one, unit)}" for key, one in value.items())
    return in_unit(str(value), unit)
