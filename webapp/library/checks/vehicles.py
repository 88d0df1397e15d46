"""A vehicle that cannot be: wheels outside its body, years that run backwards, VINs that belong to another one too."""

from collections.abc import Iterator
from itertools import combinations

from webapp.core.errors import BadInput
from webapp.core.vin import LENGTH, check_pattern
from webapp.library.finding import Finding
from webapp.library.read import Node
from webapp.library.sources import Sources

from .measured import quantity


def check(sources: Sources) -> Iterator[Finding]:
    for vehicle in sources.vehicles.values():
        yield from _years(vehicle.at("years"))
        yield from _outline(vehicle.at("outline"))
        yield from _vins(vehicle.at("vin"))
    for first, second in combinations(sources.vehicles.values(), 2):
        yield from _shared(first, second)


def overlap(one: str, other: str) -> bool:
    """Say whether some VIN matches both patterns."""
    pairs = zip(_spread(one), _spread(other), strict=True)
    return all("?" in (left, right) or left == right for left, right in pairs)


def _spread(pattern: str) -> str:
    return pattern.removesuffix("*").ljust(LENGTH, "?") if pattern.endswith("*") else pattern


def _vins(vins: Node) -> Iterator[Finding]:
    if not vins.items and vins.value is not None:
        yield vins.says("no VIN pattern, expected one or more")
    for vin in vins.items:
        if vin.text and not _reads(vin.text):
            accepted = f"{LENGTH} characters with ? for any one, or a beginning and *, without I, O and Q"
            yield vin.says(f"'{vin.text}' is no VIN pattern, expected {accepted}")


def _reads(pattern: str) -> bool:
    try:
        check_pattern(pattern)
    except BadInput:
        return False
    return True


def _shared(first: Node, second: Node) -> Iterator[Finding]:
    for one in first.at("vin").items:
        for other in second.at("vin").items:
            if _reads(one.text) and _reads(other.text) and overlap(one.text, other.text):
                met = f"'{one.text}' ({one.file}:{one.line})"
                yield other.says(f"'{other.text}' matches VINs of {met} too, expected patterns that keep them apart")


def _years(years: Node) -> Iterator[Finding]:
    first, _, last = years.text.partition("-")
    if first.isdecimal() and last.isdecimal() and int(first) > int(last):
        yield years.says(f"{first} to {last}, expected the earlier year first")


def _outline(outline: Node) -> Iterator[Finding]:
    mm = {name: found.value for name, node in outline.fields.items() if (found := quantity(node))}
    if {"length", "wheelbase", "front-overhang"} <= set(mm) and mm["wheelbase"] + mm["front-overhang"] >= mm["length"]:
        yield outline.at("length").says(
            "length ends before the rear axle, expected more than front-overhang + wheelbase"
        )
    for track in ("track-front", "track-rear"):
        if mm.get(track, 0) >= mm.get("width", float("inf")):
            yield outline.at(track).says(f"{track} is as wide as the vehicle, expected less than its width")
