"""Causes stand in the order in which a person checks them: the likeliest first, of those alike the quickest."""

from collections.abc import Iterator
from itertools import pairwise

from webapp.library.finding import Finding
from webapp.library.read import Node, seen_from
from webapp.library.sources import Sources

from .measured import quantity

LIKELY = ("often", "sometimes", "seldom")


def check(sources: Sources) -> Iterator[Finding]:
    for owner in (*sources.written, *sources.fragments.fields.values()):
        for step in owner.at("steps").items:
            yield from _causes(step.at("causes").items)


def _causes(causes: list[Node]) -> Iterator[Finding]:
    for key in ("likely", "takes"):
        lacking = [cause for cause in causes if key not in cause.fields]
        if len(lacking) < len(causes):
            yield from (cause.says(f"lacks '{key}', expected it with every cause of this step") for cause in lacking)
    for one, other in pairwise(causes):
        before, after = _rank(one), _rank(other)
        if before and after and after < before:
            place = seen_from(other, one)
            yield other.says(f"belongs before the cause {place}, expected the likeliest first, then the quickest")


def _rank(cause: Node) -> tuple[int, float] | None:
    likely, takes = cause.at("likely").text, quantity(cause.at("takes"))
    return (LIKELY.index(likely), takes.value) if likely in LIKELY and takes else None
