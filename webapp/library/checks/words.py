"""Sentences short enough to read at the vehicle, and each of them written once."""

import re
from collections.abc import Iterator

from webapp.library.finding import Finding
from webapp.library.read import Node
from webapp.library.sources import Sources

MOST_WORDS = 25
FEWEST_TO_COMPARE = 4
"""'Check again.' may stand twice; a whole instruction may not."""


def check(sources: Sources) -> Iterator[Finding]:
    for procedure in sources.procedures.values():
        steps = procedure.at("steps").items
        for step in steps:
            words = len(step.at("do").text.split())
            if words > MOST_WORDS:
                yield step.at("do").says(f"{words} words, expected {MOST_WORDS} at most")
        yield from _repeated(steps)


def _repeated(steps: list[Node]) -> Iterator[Finding]:
    first: dict[str, int] = {}
    for node in (told for step in steps for told in _told(step)):
        for sentence in re.split(r"(?<=[.!?;])\s+", node.text):
            plain = " ".join(re.findall(r"\w+", sentence.casefold()))
            if len(plain.split()) < FEWEST_TO_COMPARE:
                continue
            if plain in first:
                yield node.says(f"the same sentence as on line {first[plain]}, expected it once: {sentence.strip()!r}")
            first.setdefault(plain, node.line)


def _told(step: Node) -> list[Node]:
    causes = [cause.at(key) for cause in step.at("causes").items for key in ("cause", "check")]
    return [step.at("do"), step.at("why"), *step.at("mistakes").items, *causes]
