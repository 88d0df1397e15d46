"""A condition hangs on what is known by then: a qualifier of the vehicle, or the answer to an earlier choose step."""

from collections.abc import Iterator, Mapping

from webapp.library.finding import Finding, expected
from webapp.library.read import Node
from webapp.library.sources import Sources

Known = Mapping[str, set[str]]


def check(sources: Sources) -> Iterator[Finding]:
    asked: dict[str, set[str]] = {}
    for vehicle in sources.vehicles.values():
        own = _qualifiers(vehicle)
        for name, values in own.items():
            asked[name] = asked.get(name, set()) | values
        for variant in vehicle.at("variants").items:
            yield from _condition(variant.at("only-if"), own, "qualifier of this vehicle")
    for procedure in sources.procedures.values():
        yield from _steps(sources, procedure, asked)


def answers(steps: list[Node]) -> dict[str, set[str]]:
    """Return what the choose steps among these ask for (their `asks`, else their id), each with its options."""
    return {
        step.at("asks").text or step.at("id").text: _values(step) for step in steps if step.at("kind").text == "choose"
    }


def _steps(sources: Sources, procedure: Node, asked: Known) -> Iterator[Finding]:
    known = dict(asked)
    for one in _before(sources, procedure):
        known |= answers(one.at("steps").items)
    for step in procedure.at("steps").items:
        yield from _condition(step.at("only-if"), known, "qualifier or earlier answer")
        for name, values in answers([step]).items():
            if name in asked and step.at("asks").text:
                yield step.at("asks").says(f"'{name}' is a qualifier of a vehicle, expected another name")
            known[name] = values


def _before(sources: Sources, procedure: Node) -> list[Node]:
    """Return the procedures whose answers are known by then: its set-up, and for a closing one all set-up there is."""
    if procedure.at("sort").text == "closing":
        return [one for one in sources.procedures.values() if one.at("sort").text == "set-up"]
    wanted = [node.text for node in procedure.at("set-up").items]
    return [sources.procedures[name] for name in wanted if name in sources.procedures]


def _condition(condition: Node, known: Known, what: str) -> Iterator[Finding]:
    for name, wanted in condition.fields.items():
        if name not in known:
            yield wanted.says(f"unknown {what} '{name}', {expected(name, known)}")
            continue
        for value in wanted.items or [wanted]:
            if value.text and value.text not in known[name]:
                yield value.says(f"'{value.text}' is no option of {name}, {expected(value.text, sorted(known[name]))}")


def _qualifiers(vehicle: Node) -> dict[str, set[str]]:
    return {one.at("name").text: _values(one) for one in vehicle.at("qualifiers").items}


def _values(asking: Node) -> set[str]:
    return {option.at("value").text for option in asking.at("options").items}
