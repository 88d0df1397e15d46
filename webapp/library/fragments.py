"""Shared fragments: a procedure's `use: NAME` gives way to the steps of that fragment, each still knowing its own file
and line.
"""

import re
from collections.abc import Callable
from dataclasses import replace

from .read import Node

TAKEN = re.compile(r"^spec\.([a-z][a-z0-9-]*)$")


def expanded(procedure: Node, fragments: Node) -> Node:
    """Return the procedure with fragments' steps in place of `use`; an unknown fragment leaves nothing there."""
    steps = [one for item in procedure.at("steps").items for one in _steps(item, fragments)]
    if not any("use" in item.fields for item in procedure.at("steps").items):
        return procedure
    return replace(procedure, value={**procedure.fields, "steps": replace(procedure.at("steps"), value=steps)})


def _steps(item: Node, fragments: Node) -> list[Node]:
    if "use" not in item.fields:
        return [item]
    steps = fragments.at(item.at("use").text, "steps").items
    ids = {step.at("id").text for step in steps}
    return [_step(step, item, ids) for step in steps]


def _step(step: Node, use: Node, ids: set[str]) -> Node:
    made = dict(step.fields)
    prefix = use.at("as").text
    if prefix and "id" in made:
        made["id"] = _prefixed(made["id"], prefix)
    if prefix and "causes" in made:
        made["causes"] = _each(made["causes"], lambda cause: _redo(cause, prefix, ids))
    if use.at("figures").fields and "measure" in made:
        made["measure"] = _renamed(made["measure"], use.at("figures"))
    if use.at("only-if").fields:
        own = step.at("only-if")
        both = {**own.fields, **use.at("only-if").fields}
        made["only-if"] = replace(own if own.fields else use.at("only-if"), value=both)
    if use.at("spots").items and ("drawing" in made or made.get("pairs", use).text == "spec"):
        made["spots"] = use.at("spots")
    return replace(step, value=made)


def _redo(cause: Node, prefix: str, ids: set[str]) -> Node:
    redo = cause.at("redo")
    return replace(cause, value={**cause.fields, "redo": _prefixed(redo, prefix)}) if redo.text in ids else cause


def _prefixed(name: Node, prefix: str) -> Node:
    return replace(name, value=f"{prefix}-{name.text}") if name.text else name


def _renamed(node: Node, figures: Node) -> Node:
    """Return a measurement with other names for the spec's figures."""
    if node.fields:
        return replace(node, value={key: _renamed(one, figures) for key, one in node.fields.items()})
    if node.items:
        return replace(node, value=[_renamed(one, figures) for one in node.items])
    found = TAKEN.match(node.text)
    other = figures.at(found[1]).text if found and found[1] in figures.fields else ""
    return replace(node, value=f"spec.{other}") if other else node


def _each(items: Node, change: Callable[[Node], Node]) -> Node:
    return replace(items, value=[change(one) for one in items.items])
