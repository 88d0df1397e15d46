"""The order that `after` and `set-up` ask for must not run in a circle."""

from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter

from webapp.library.finding import Finding
from webapp.library.sources import Sources


def check(sources: Sources) -> Iterator[Finding]:
    """Report one circle after another, each cut open where it is reported, until none is left."""
    asked = {
        name: {node.text: node for key in ("after", "set-up") for node in one.at(key).items if node.text}
        for name, one in sources.procedures.items()
    }
    while circle := _circle({name: list(before) for name, before in asked.items()}):
        cut = asked[circle[0]].pop(circle[1])
        yield cut.says(f"the order runs in a circle: {' -> '.join(circle)}, expected one that ends")


def _circle(graph: dict[str, list[str]]) -> list[str]:
    """Return a circle, each name followed by one that it comes after, from the first by alphabet; empty if none."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        # graphlib lists each name before those that come after it; the files say it the other way round.
        ring: list[str] = error.args[1][:0:-1]
        start = ring.index(min(ring))
        return [*ring[start:], *ring[:start], ring[start]]
    return []
