"""Each kind of step, each method of measuring and each sort of procedure has its own fields, and no other's."""

from collections.abc import Iterator, Mapping

from webapp.library.finding import Finding, expected
from webapp.library.read import Node
from webapp.library.sources import Sources

# kind -> the fields it must have, the fields it may have; what is in neither list of any kind is open to all
KINDS = {
    "confirm": (("button",), ()),
    "choose": (("options",), ("asks",)),
    "scan": (("pairs",), ()),
    "measure": (("measure",), ()),
    "photo": (("photo",), ()),
    "wait": (("wait",), ()),
    "countersign": ((), ()),
    "result": ((), ()),
}
METHODS = {
    "values": (("readings",), ("compare",)),
    "floor": (("points", "limits"), ("u",)),
    "square": (("track", "bar", "limits"), ("u", "hubs")),
    "axis": (("limits",), ("u",)),
}
SORTS = {
    "calibration": (("sensor", "mode", "due-when"), ("set-up", "area")),
    "set-up": ((), ()),
    "closing": ((), ()),
    "day": ((), ()),
}
LIMITS = {"floor": ("along", "across", "residual"), "square": ("distance", "offset", "yaw"), "axis": ("thrust",)}
OPEN_TO_ALL = {"button"}
FEWEST_POINTS = 4
"""Three points fit any plane exactly, so that nothing is left to show how flat the floor is."""

Fields = Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]]


def check(sources: Sources) -> Iterator[Finding]:
    for procedure in sources.procedures.values():
        yield from _own(procedure, "sort", SORTS, "procedure")
        for step in procedure.at("steps").items:
            yield from _own(step, "kind", KINDS, "step")
            yield from _options(step)
            yield from _pairs(step, procedure.at("sort").text)
            yield from _spots(step)
            if step.at("measure").fields:
                yield from _own(step.at("measure"), "method", METHODS, "measurement")
                yield from _method(step.at("measure"))


def _own(thing: Node, key: str, fields: Fields, what: str) -> Iterator[Finding]:
    """Check a thing's fields against those of its kind, method or sort, which `key` names."""
    kind = thing.at(key).text
    if kind not in fields:
        return
    must, may = fields[kind]
    for name in must:
        if not thing.at(name).plain():
            yield thing.says(f"{_a(kind)} {what} lacks '{name}', expected in every {kind} {what}")
    for name, node in thing.fields.items():
        owners = [owner for owner, (needs, has) in fields.items() if name in (*needs, *has)]
        if owners and name not in (*must, *may, *OPEN_TO_ALL):
            yield node.says(f"'{name}' in {_a(kind)} {what}, expected only in {' or '.join(owners)}")


def _a(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _options(step: Node) -> Iterator[Finding]:
    options = step.at("options").items
    if step.at("kind").text != "choose" or not options:
        return
    if len(options) < 2:
        yield step.at("options").says("one option, expected 2 or more to choose from")
    if all(option.at("blocks").text for option in options):
        yield step.at("options").says("every option blocks, expected one that lets the job go on")


def _pairs(step: Node, sort: str) -> Iterator[Finding]:
    pairs = step.at("pairs")
    for pair in pairs.items:
        if not {"target", "spot"} & set(pair.fields):
            yield pair.says("a pair of nothing, expected a target, a spot or both")
    if pairs.text == "spec" and sort in ("set-up", "closing", "day"):
        yield pairs.says(f"pairs of the spec in a {sort} procedure, expected only in a calibration")


def _spots(step: Node) -> Iterator[Finding]:
    if step.at("spots").items and "drawing" not in step.fields and step.at("pairs").text != "spec":
        yield step.at("spots").says("spots in a step without the spec's pairs and without a drawing, expected none")


def _method(measure: Node) -> Iterator[Finding]:
    method, limits, points = measure.at("method").text, measure.at("limits"), measure.at("points")
    wanted = LIMITS.get(method, ())
    for name, node in limits.fields.items():
        if wanted and name not in wanted:
            yield node.says(f"unknown limits '{name}' in {_a(method)} measurement, {expected(name, wanted)}")
    for name in wanted:
        if limits.fields and name not in limits.fields:
            yield limits.says(f"lacks the limits '{name}', expected in every {method} measurement")
    if method == "floor" and 0 < len(points.items) < FEWEST_POINTS:
        yield points.says(f"{len(points.items)} points, expected {FEWEST_POINTS} or more")
