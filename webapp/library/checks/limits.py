"""Limits that nothing can meet, or that are in another unit than what they limit."""

from collections.abc import Iterator

from webapp.core.measure import instruments
from webapp.core.quantity import LARGEST, UNITS, Quantity, units_of
from webapp.library.finding import Finding, expected
from webapp.library.read import Node
from webapp.library.sources import Sources

from .measured import Held, held, quantity

BOUNDS = ("low", "high", "nominal", "tolerance")
USUAL = ("tape", "scale", "plumb-bob", "inclinometer")
"""Instruments that everybody's figures are known of; the others need `u`, for a shop that has stated none."""
BASES = tuple(dict.fromkeys(base for base, _ in UNITS.values()))


def check(sources: Sources) -> Iterator[Finding]:
    for procedure in sources.procedures.values():
        for step in procedure.at("steps").items:
            yield from _readings(step.at("measure"))
        for one in held(procedure):
            yield from literal(one)
    for vehicle in sources.vehicles.values():
        for owner in (vehicle, *vehicle.at("variants").items, *vehicle.at("specs").fields.values()):
            for name, figure in owner.at("figures").fields.items():
                yield from _figure(name, figure)


def literal(one: Held) -> Iterator[Finding]:
    """Check the quantities that stand in limits; those taken from a spec are the spec's to answer for."""
    given = {key: found for key in BOUNDS if (found := quantity(one.node.at(key)))}
    if one.bare:
        found = quantity(one.node)
        given = {one.name: found} if found else {}
    elif one.node.fields:
        yield from _form(one.node)
        yield from _order(one.node, given)
    for key, found in given.items():
        place = one.node if one.bare else one.node.at(key)
        yield from fits(place, found, one, is_width=key == "tolerance")
    yield from reaches(one.node, one)


def fits(place: Node, given: Quantity, one: Held, *, is_width: bool = False) -> Iterator[Finding]:
    """Check one quantity's unit and range; a tolerance is a width, not a place, and only has to be in the unit."""
    least, most = one.range
    if one.unit in BASES and given.unit != one.unit:
        yield place.says(f"{one.name} {given.text} is in {given.unit}, expected {' or '.join(units_of(one.unit))}")
    elif not is_width and not least <= given.value <= most and abs(given.value) <= LARGEST[given.unit]:
        yield place.says(f"{one.name} {given.text} cannot be, expected {least:g} to {most:g} {one.unit}")


def reaches(limits: Node, one: Held) -> Iterator[Finding]:
    """Check that nominal and tolerance together stay among what can be measured: 1.5 m ± 5 m is a slip of the unit."""
    nominal, tolerance = quantity(limits.at("nominal")), quantity(limits.at("tolerance"))
    if nominal and tolerance and nominal.unit == tolerance.unit == one.unit:
        least, most = one.range
        ends = nominal.value - tolerance.value, nominal.value + tolerance.value
        if (
            least <= nominal.value <= most
            and tolerance.value <= LARGEST[one.unit]
            and not (least <= ends[0] and ends[1] <= most)
        ):
            what = f"{one.name} {nominal.text} ± {tolerance.text}"
            yield limits.at("tolerance").says(f"{what} cannot be, expected {least:g} to {most:g} {one.unit}")


def _readings(measure: Node) -> Iterator[Finding]:
    units = {reading.at("name").text: reading.at("unit").text for reading in measure.at("readings").items}
    for reading in measure.at("readings").items:
        unit, u, instrument = reading.at("unit"), quantity(reading.at("u")), reading.at("instrument")
        if unit.text and unit.text not in BASES:
            wanted = UNITS[unit.text][0] if unit.text in UNITS else None
            yield unit.says(f"unit '{unit.text}', expected {wanted}" if wanted else _unknown(unit.text))
        if "limits" in reading.fields and u is None and instrument.text not in USUAL:
            yield reading.says("limits without an uncertainty, expected 'instrument' or 'u'")
        if reading.at("between-hubs").text and unit.text in BASES and unit.text != "mm":
            yield unit.says(f"between hub marks in {unit.text}, expected mm")
        if u and unit.text in BASES and u.unit != unit.text:
            yield reading.at("u").says(f"u {u.text} is in {u.unit}, expected {' or '.join(units_of(unit.text))}")
        if u and u.value <= 0:
            yield reading.at("u").says(f"u {u.text}, expected more than 0")
        if instruments.UNITS.get(instrument.text, unit.text) != unit.text:
            yield instrument.says(
                f"a {instrument.text} for {unit.text}, expected it for {instruments.UNITS[instrument.text]}"
            )
    for compare in measure.at("compare").items:
        both = [units.get(one.text, "") for one in compare.at("of").items]
        if len(both) == 2 and all(both) and both[0] != both[1]:
            yield compare.at("of").says(f"{both[0]} against {both[1]}, expected two readings in one unit")


def _unknown(unit: str) -> str:
    return f"unknown unit '{unit}', {expected(unit, BASES)}"


def _form(limits: Node) -> Iterator[Finding]:
    has = {key for key in BOUNDS if limits.at(key).value is not None}
    if not has:
        yield limits.says("no limits, expected low, high or both, or nominal and tolerance")
    elif has & {"low", "high"} and has & {"nominal", "tolerance"}:
        yield limits.says(f"{' and '.join(sorted(has))} together, expected low and high, or nominal and tolerance")
    elif len(has & {"nominal", "tolerance"}) == 1:
        missing = ({"nominal", "tolerance"} - has).pop()
        yield limits.says(f"lacks '{missing}', expected nominal and tolerance together")


def _order(limits: Node, given: dict[str, Quantity]) -> Iterator[Finding]:
    low, high, tolerance = given.get("low"), given.get("high"), given.get("tolerance")
    if low and high and low.unit == high.unit and low.value >= high.value:
        yield limits.at("low").says(f"low {low.text} is not below high {high.text}, expected room between them")
    if tolerance and tolerance.value <= 0:
        yield limits.at("tolerance").says(f"tolerance {tolerance.text}, expected more than 0")


def _figure(name: str, figure: Node) -> Iterator[Finding]:
    keys = ("value", *BOUNDS)
    given = {key: found for key in keys if (found := quantity(figure.at(key)))}
    has = {key for key in keys if figure.at(key).value is not None}
    units = dict.fromkeys(found.unit for found in given.values())
    if figure.fields and not has:
        yield figure.says(f"no figure for '{name}', expected value, or low and high, or nominal and tolerance")
    elif "value" in has and len(has) > 1:
        rest = sorted(has - {"value"})
        yield figure.says(f"value and {' and '.join(rest)} together, expected value alone, or no value")
    elif "tolerance" in has or has & {"low", "high"}:
        yield from _form(figure)
    if len(units) > 1:
        yield figure.says(f"'{name}' is in {' and '.join(units)}, expected one unit throughout")
    yield from _order(figure, given)
