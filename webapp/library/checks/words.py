"""Sentences short enough to read at the vehicle, and each of them written once."""

import re
from collections.abc import Iterator

from webapp.library.finding import Finding
from webapp.library.read import Node, seen_from
from webapp.library.sources import Sources

MOST_WORDS = 25
MOST_SHORT = 12
FEWEST_TO_COMPARE = 4
"""'Check again.' may stand twice; a whole instruction may not."""


def check(sources: Sources) -> Iterator[Finding]:
    steps = [
        step for owner in (*sources.written, *sources.fragments.fields.values()) for step in owner.at("steps").items
    ]
    for step in steps:
        yield from _length(step.at("do"), MOST_WORDS)
        yield from _length(step.at("short"), MOST_SHORT)
        if step.at("do").text and step.at("short").text and _count(step.at("short")) >= _count(step.at("do")):
            yield step.at("short").says("no shorter than 'do', expected fewer words, or no 'short'")
    yield from _repeated(steps)


def _length(told: Node, most: int) -> Iterator[Finding]:
    if _count(told) > most:
        yield told.says(f"{_count(told)} words, expected {most} at most")


def _count(told: Node) -> int:
    return len(told.text.split())


def _repeated(steps: list[Node]) -> Iterator[Finding]:
    """What two procedures have in common stands in a shared fragment, once."""
    first: dict[str, Node] = {}
    for node in (told for step in steps for told in _told(step)):
        for sentence in re.split(r"(?<=[.!?;])\s+", node.text):
            plain = " ".join(re.findall(r"\w+", sentence.casefold()))
            if len(plain.split()) < FEWEST_TO_COMPARE:
                continue
            if plain in first:
                place = seen_from(node, first[plain])
                yield node.says(f"the same sentence as {place}, expected it once: {sentence.strip()!r}")
            first.setdefault(plain, node)


def _told(step: Node) -> list[Node]:
    causes = [cause.at(key) for cause in step.at("causes").items for key in ("cause", "check")]
    stops = [option.at("blocks") for option in step.at("options").items]
    return [step.at("do"), step.at("short"), step.at("why"), *step.at("mistakes").items, *causes, *stops]
