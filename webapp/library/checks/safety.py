"""What keeps people and the calibration safe: a scan after what was placed, a caution where the words call for one."""

import re
from collections.abc import Iterator

from webapp.library.finding import Finding, one_of
from webapp.library.read import Node
from webapp.library.sources import Sources

PLACED = {"stand", "reflector", "patterns"}
THINGS = r"targets?|reflectors?|patterns?|mats?|boards?|plates?"
# The thing has to be what is placed: 'Lay a straightedge across each board' places no board.
ELSEWHERE = "across|along|on|onto|over|under|to|at|by|beside|against|before|from|of|so|until|with|in|and"
BETWEEN = rf"(?:(?!(?:{ELSEWHERE})\b)[\w'-]+ ){{0,4}}"
PLACES = re.compile(rf"\b(hang|place|set|lay|put|mount) {BETWEEN}({THINGS})\b", re.IGNORECASE)
# What a step is about, by its words; its caution has to be about the same, by the caution's own words.
HAZARDS = {
    "laser": re.compile(r"\blasers?\b", re.IGNORECASE),
    "road": re.compile(
        r"\b(road|test) drives?\b|\bdriv(e|es|ing)\b[^.;]*\b(road|street|motorway|traffic)|\bon the (public )?road\b",
        re.IGNORECASE,
    ),
    "lift or jack": re.compile(
        r"\b(vehicle|post|scissor|car) lift\b|\b(on|off|onto|with|by) (a|the) lift\b|\bjack(s|ed|ing)?\b"
        r"|\b(lift|raise|lower)\b[^.;]*\b(vehicle|car|axle)\b",
        re.IGNORECASE,
    ),
    "high-voltage": re.compile(r"\bhigh[- ]voltage\b|\btraction battery\b|\borange cables?\b", re.IGNORECASE),
}


def check(sources: Sources) -> Iterator[Finding]:
    cautions = sources.catalogue.at("cautions").fields
    fitting = {hazard: _fitting(hazard, cautions) for hazard in HAZARDS if cautions}
    for procedure in sources.procedures.values():
        steps = procedure.at("steps").items
        for number, step in enumerate(steps):
            yield from _scanned(step, steps[number:])
            yield from _warned(step, fitting)


def _scanned(step: Node, rest: list[Node]) -> Iterator[Finding]:
    """`rest` begins with the step itself: a scan step may say in one breath what to hang and to scan it.

    A measurement shows the drawing too, but measures what hangs already: squaring comes last, since hanging nudges.
    """
    placing = step.at("drawing").text in PLACED and step.at("kind").text != "measure"
    placing = placing or bool(PLACES.search(step.at("do").text))
    if placing and not any(one.at("kind").text == "scan" for one in rest):
        yield step.says("something is placed and not scanned, expected a scan step after it in this procedure")


def _warned(step: Node, fitting: dict[str, list[str]]) -> Iterator[Finding]:
    """`fitting` names the catalogue's cautions for each hazard."""
    said = f"{step.at('do').text} {step.at('why').text}"
    shown = {node.text for node in step.at("caution").items}
    for hazard, cautions in fitting.items():
        if HAZARDS[hazard].search(said) and shown.isdisjoint(cautions):
            wanted = f"caution {one_of(cautions)}" if cautions else "a caution for it in the catalogue and here"
            yield step.says(f"a {hazard} step without its caution, expected {wanted}")


def _fitting(hazard: str, cautions: dict[str, Node]) -> list[str]:
    """Return the cautions that are about the hazard, by their own words or by their name."""
    parts = set(re.split("[ -]", hazard)) - {"or", "high"}
    told = {name: f"{caution.at('hazard').text} {caution.at('do').text}" for name, caution in cautions.items()}
    return [name for name, text in told.items() if HAZARDS[hazard].search(text) or parts & set(name.split("-"))]
