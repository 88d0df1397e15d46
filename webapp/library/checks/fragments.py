"""Shared fragments: each is used, and whatever a `use` says of it can be said."""

from collections.abc import Iterator

from webapp.library.finding import Finding
from webapp.library.fragments import TAKEN
from webapp.library.read import Node
from webapp.library.sources import Sources

from .measured import held
from .references import among


def check(sources: Sources) -> Iterator[Finding]:
    uses = [item for one in sources.written for item in one.at("steps").items if "use" in item.fields]
    used = {item.at("use").text for item in uses}
    yield from among([item.at("use") for item in uses], sources.fragments.fields, "fragment")
    for item in uses:
        yield from _joined(item, sources.fragments.at(item.at("use").text))
    for name, fragment in sources.fragments.fields.items():
        if name not in used:
            yield fragment.says(f"fragment '{name}' is used nowhere, expected a procedure that uses it")
        for one in held(fragment):
            for node in (one.node, *one.node.fields.values()):
                if node.text == "spec":
                    yield node.says("'spec' in a fragment, expected the figure's name, like spec.distance")


def _joined(item: Node, fragment: Node) -> Iterator[Finding]:
    steps = fragment.at("steps").items
    for name, node in item.at("only-if").fields.items():
        if any(name in step.at("only-if").fields for step in steps):
            yield node.says(f"'{name}' is a condition of the fragment's own, expected it in one of the two")
    if not steps:
        return
    taken = {found[1] for step in steps for node in _all(step.at("measure")) if (found := TAKEN.match(node.text))}
    for name, node in item.at("figures").fields.items():
        yield from among([Node(name, node.file, node.line)], sorted(taken), "figure of this fragment")
    about = [step for step in steps if "drawing" in step.fields or step.at("pairs").text == "spec"]
    if item.at("spots").items and not about:
        yield item.at("spots").says("spots for a fragment that scans and draws nothing, expected none")


def _all(node: Node) -> Iterator[Node]:
    yield node
    for child in node.children.values():
        yield from _all(child)
