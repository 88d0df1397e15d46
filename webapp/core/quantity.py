"""Quantities in files always carry their unit: `4500 mm`, `0.5 deg`, `4 min`.

A quantity is read once, at the file's edge, and turned into the base unit of its dimension (mm, deg, s, kPa, km/h,
lx, V, degC, percent, mm/m), so that nothing inside ever asks which unit a number is in.
"""

import re
from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

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
FORM = re.compile(r"^\s*([+-]?\d+(?:\.\d+)?)\s*([A-Za-z%][A-Za-z/%]*)?\s*$")


@dataclass(frozen=True)
class Quantity:
    """A number with its base unit; `text` keeps what the file said."""

    value: float
    unit: str
    text: str

    @classmethod
    def parse(cls, given: Any) -> "Quantity":
        found = FORM.match(str(given))
        if found is None:
            raise PydanticCustomError("quantity", "{given} is no quantity; write a number and its unit, like 4500 mm", {"given": repr(given)})
        number, unit = found.groups()
        if unit is None:
            raise PydanticCustomError("unit-missing", "{given} lacks its unit; write it like {given} mm (units: {units})", {"given": str(given), "units": ", ".join(UNITS)})
        if unit not in UNITS:
            raise PydanticCustomError("unit-unknown", "unit {unit} is not known; expected one of {units}", {"unit": unit, "units": ", ".join(UNITS)})
        base, factor = UNITS[unit]
        return cls(float(number) * factor, base, str(given).strip())

    @classmethod
    def __get_pydantic_core_schema__(cls, _source: Any, _handler: GetCoreSchemaHandler) -> CoreSchema:
        def read(given: Any) -> "Quantity":
            return given if isinstance(given, cls) else cls.parse(given)

        return core_schema.no_info_plain_validator_function(read, serialization=core_schema.plain_serializer_function_ser_schema(lambda q: q.text))

    @classmethod
    def __get_pydantic_json_schema__(cls, _schema: CoreSchema, _handler: GetJsonSchemaHandler) -> dict[str, Any]:
        units = "|".join(re.escape(unit) for unit in UNITS)
        return {"type": "string", "pattern": rf"^\s*[+-]?\d+(\.\d+)?\s*({units})\s*$", "examples": ["4500 mm", "0.5 deg", "4 min"]}


def key(name: str, unit: str) -> str:
    """The name of a figure with its unit, as JSON and events spell it: ('front-track', 'mm') -> 'front_track_mm'."""
    return f"{name}_{unit}".replace("-", "_").replace("/", "_per_").replace("%", "percent")
