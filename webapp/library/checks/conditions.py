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
        asked = _both(asked, own)
        for variant in vehicle.at("variants").items:
            yield from _condition(variant.at("only-if"), own, "qualifier of this vehicle")
    for procedure in sources.procedures.values():
        yield from _steps(sources, procedure, asked)
    yield from _asked_once(sources, asked)


def answers(steps: list[Node]) -> dict[str, set[str]]:
    """Return what the choose steps among these ask for, each with its options."""
    return {_answer(step).text: _values(step) for step in steps if step.at("kind").text == "choose"}


def _answer(step: Node) -> Node:
    """Return where the name of a choose step's answer stands: its `asks`, else its id."""
    return step.at("asks") if step.at("asks").text else step.at("id")


def _asked_once(sources: Sources, asked: Known) -> Iterator[Finding]:
    """A job keeps its answers by name alone, whichever procedure asked: a second one would overrule the first."""
    first: dict[str, Node] = {}
    for step in (step for procedure in sources.procedures.values() for step in procedure.at("steps").items):
        answer = _answer(step)
        if step.at("kind").text != "choose" or not answer.text:
            continue
        if answer.text in asked:
            yield answer.says(f"'{answer.text}' is a qualifier of a vehicle, expected another name")
        elif answer.text in first:
            place = f"{first[answer.text].file}:{first[answer.text].line}"
            yield answer.says(f"'{answer.text}' is asked for at {place} too, expected a name of its own")
        first.setdefault(answer.text, answer)


def _steps(sources: Sources, procedure: Node, asked: Known) -> Iterator[Finding]:
    known = dict(asked)
    for one in _before(sources, procedure):
        known = _both(known, answers(one.at("steps").items))
    for step in procedure.at("steps").items:
        yield from _condition(step.at("only-if"), known, "qualifier or earlier answer")
        known = _both(known, answers([step]))


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


def _both(one: Known, other: Known) -> dict[str, set[str]]:
    return {name: one.get(name, set()) | other.get(name, set()) for name in (*one, *other)}


def _values(asking: Node) -> set[str]:
    return {option.at("value").text for option in asking.at("options").items}
