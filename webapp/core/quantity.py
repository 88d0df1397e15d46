"""Quantities in files always carry their unit: `4500 mm`, `0.5 deg`, `4 min`.

A quantity is read once, at the file's edge, and turned into the base unit of its dimension (mm, deg, s, kPa, km/h,
lx, V, degC, percent, mm/m), so that nothing inside ever asks which unit a number is in.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, LiteralString

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from .errors import shown

# unit -> (base unit, factor)
UNITS: dict[str, tuple[str, float]] = {
    "mm": ("mm", 1.0),
    "cm": ("mm", 10.0),
    "m": ("mm", 1000.0),
    "deg": ("deg", 1.0),
    "s": ("s", 1.0),
    "min": ("s", 60.0),
    "kPa": ("kPa", 1.0),
    "bar": ("kPa", 100.0),
    "mm/m": ("mm/m", 1.0),
    "lx": ("lx", 1.0),
    "V": ("V", 1.0),
    "degC": ("degC", 1.0),
    "kg": ("kg", 1.0),
    "%": ("%", 1.0),
    "km/h": ("km/h", 1.0),
    "km": ("km", 1.0),
}
# base unit -> the largest amount that a workshop can meet, either way of zero (a difference may be negative); beyond it
# a digit or a unit is wrong
LARGEST: dict[str, float] = {
    "mm": 100_000,
    "deg": 180,
    "s": 86_400,
    "kPa": 1_500,
    "mm/m": 100,
    "lx": 150_000,
    "V": 1_000,
    "degC": 200,
    "kg": 10_000,
    "%": 100,
    "km/h": 300,
    "km": 3_000_000,
}
TOO_LARGE: LiteralString = "out-of-range"
FORM = re.compile(r"^\s*([+-]?\d+(?:\.\d+)?)\s*([A-Za-z%][A-Za-z/%]*)?\s*$")


@dataclass(frozen=True)
class Quantity:
    """A number with its base unit; `text` keeps what the file said."""

    value: float
    unit: str
    text: str

    @classmethod
    def parse(cls, given: Any, base: str | None = None) -> "Quantity":
        """Read `4500 mm`; with `base`, only in the units of that dimension.

        Raises a PydanticCustomError that says what is wrong with the text and what was expected.
        """
        found = FORM.match(given if isinstance(given, str) else _number(given))
        units = units_of(base) if base else list(UNITS)
        if found is None:
            raise _refused("quantity", given, f"is no quantity, expected a number and its unit, like 4 {units[0]}")
        number, unit = found.groups()
        if unit is None:
            raise _refused("unit-missing", given, f"lacks its unit, expected {_or(units)}")
        if unit not in UNITS:
            raise _refused("unit-unknown", given, f"has the unknown unit '{unit}', expected {_or(units)}")
        if unit not in units:
            raise _refused("unit-wrong", given, f"is in {unit}, expected {_or(units)}")
        own, factor = UNITS[unit]
        value = float(Decimal(number) * Decimal(str(factor)))
        if abs(value) > LARGEST[own]:
            message = f"{shown(given)} is more than can be, expected {LARGEST[own]:,.0f} {own} at most"
            raise PydanticCustomError(TOO_LARGE, "{message}", {"message": message, "value": value, "unit": own})
        return cls(value, own, str(given).strip())

    @classmethod
    def __get_pydantic_core_schema__(cls, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        def read(given: Any) -> "Quantity":
            return given if isinstance(given, cls) else cls.parse(given)

        return _validated_by(read)

    @classmethod
    def __get_pydantic_json_schema__(cls, _schema: CoreSchema, _handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return _written_with(list(UNITS))


@dataclass(frozen=True)
class In:
    """Marks a Quantity field with its dimension, by base unit, and where it matters with the value it must lie above.

    `Annotated[Quantity, In("mm", above=0)]` takes `1.2 m` and refuses `3 deg` and `0 mm`.
    """

    base: str
    above: float | None = None

    def __get_pydantic_core_schema__(self, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        return _validated_by(self.read)

    def __get_pydantic_json_schema__(self, _schema: CoreSchema, _handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return _written_with(units_of(self.base))

    def read(self, given: Any) -> Quantity:
        quantity = given if isinstance(given, Quantity) else Quantity.parse(given, self.base)
        if self.above is not None and quantity.value <= self.above:
            raise _refused("too-small", quantity.text, f"is too small, expected more than {self.above:g} {self.base}")
        return quantity


def units_of(base: str) -> list[str]:
    """Return the units in which a quantity of this base unit may be written: `mm` -> mm, cm, m."""
    return [unit for unit, (other, _) in UNITS.items() if other == base]


def key(name: str, unit: str) -> str:
    """The name of a figure with its unit, as JSON and events spell it: ('front-track', 'mm') -> 'front_track_mm'."""
    return f"{name}_{unit}".replace("-", "_").replace("/", "_per_").replace("%", "percent")


def _number(given: Any) -> str:
    return str(given) if isinstance(given, int | float) and not isinstance(given, bool) else ""


def _or(units: list[str]) -> str:
    return units[0] if len(units) == 1 else f"{', '.join(units[:-1])} or {units[-1]}"


def _refused(code: LiteralString, given: Any, what: str) -> PydanticCustomError:
    # The text goes in as a value: pydantic would take braces of the file's own for placeholders.
    return PydanticCustomError(code, "{message}", {"message": f"{shown(given)} {what}"})


def _validated_by(read: Callable[[Any], Quantity]) -> CoreSchema:
    written = core_schema.plain_serializer_function_ser_schema(lambda quantity: quantity.text)
    return core_schema.no_info_plain_validator_function(read, serialization=written)


def _written_with(units: list[str]) -> dict[str, Any]:
    allowed = "|".join(re.escape(unit) for unit in units)
    return {"type": "string", "pattern": rf"^\s*[+-]?\d+(\.\d+)?\s*({allowed})\s*$", "examples": [f"4 {units[0]}"]}
