"""Whether a file has the shape of its sort: pydantic's findings, in the words of `baybook lint`."""

import re
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from webapp.core.errors import shown

from .finding import Finding, expected
from .read import Document, Node

Model = TypeVar("Model", bound=BaseModel)
Path = list[str | int]

# The schema marks which of two forms a field has with a tag that no key can be.
TAG = re.compile("<([a-z]+)>")
# Which text a pattern of the schema asks for, by an example that it accepts.
EXAMPLES = ("forward-camera", "spec.distance", "2019-2023")
INSIDE = {"$ref", "properties", "items", "patternProperties", "additionalProperties"}
WANTED = {
    "string_type": "text (in quotes, where it looks like a number)",
    "string_too_short": "some text",
    "int_type": "a whole number",
    "int_parsing": "a whole number",
    "int_from_float": "a whole number",
    "list_type": "a list",
    "dict_type": "keys and values",
    "model_type": "keys and values",
    "model_attributes_type": "keys and values",
}


def shape(document: Document, model: type[Model]) -> tuple[Model | None, list[Finding]]:
    """Return the file as `model`, or None and every place where it has another shape."""
    if not document.readable:
        return None, []
    try:
        return model.model_validate(document.root.plain()), []
    except ValidationError as error:
        schema = model.model_json_schema()
        return None, [_finding(document.root, schema, one) for one in error.errors(include_url=False)]


def _finding(root: Node, schema: dict[str, Any], error: ErrorDetails) -> Finding:
    tagged: Path = [part for part in error["loc"] if part != "[key]"]
    path: Path = [part for part in tagged if not TAG.fullmatch(str(part))]
    where, key = path[:-1], str(path[-1]) if path else ""
    if error["type"] == "missing":
        message = f"lacks '{key}', expected in every {_described(schema, tagged[:-1]).get('title', 'one').lower()}"
        return root.at(*where).says(_at(root, where, message))
    if error["type"] == "extra_forbidden":
        known = _described(schema, tagged[:-1]).get("properties", {})
        return root.at(*path).says(_at(root, where, f"unknown key '{key}', {expected(key, known)}"))
    return root.at(*path).says(_at(root, path, _message(error)))


def _message(error: ErrorDetails) -> str:
    given, wanted = shown(error["input"]), error.get("ctx", {})
    match error["type"]:
        case "literal_error":
            known = re.findall("'([^']*)'", wanted["expected"])
            return f"{given} is unknown, {expected(str(error['input']), known)}"
        case "string_pattern_mismatch":
            like = next(one for one in EXAMPLES if re.search(wanted["pattern"], one))
            return f"{given} does not fit, expected like {like}"
        case "greater_than_equal":
            return f"{given} is too small, expected {wanted['ge']} or more"
        case "too_short":
            return f"has {wanted['actual_length']}, expected {wanted['min_length']} or more"
        case "too_long":
            return f"has {wanted['actual_length']}, expected {wanted['max_length']} at most"
        case kind if kind in WANTED:
            return f"{_what(error['input'])} stands here, expected {WANTED[kind]}"
    return error["msg"]


def _what(given: Any) -> str:
    if isinstance(given, dict | list):
        return "a list" if isinstance(given, list) else "a mapping"
    return "nothing" if given in (None, "") else shown(given)


def _at(root: Node, path: Path, message: str) -> str:
    """Put before the message the place as a person points at it: `steps.square-stand.expect: ...`."""
    words = []
    for number, part in enumerate(path, 1):
        words.append(_called(root.at(*path[:number]), part + 1) if isinstance(part, int) else part)
    return f"{'.'.join(words)}: {message}" if words else message


def _called(item: Node, number: int) -> str:
    return next((name for key in ("id", "name", "value") if (name := item.at(key).text)), str(number))


def _described(schema: dict[str, Any], path: Path) -> dict[str, Any]:
    """Return what the JSON Schema says of the thing at `path`: its title and its properties.

    A tag in the path tells which of the forms there is meant.
    """
    here = schema
    for part, after in zip([None, *path], [*path, None], strict=True):
        if isinstance(part, str) and TAG.fullmatch(part):
            continue
        if isinstance(part, int):
            here = here.get("items", {})
        elif part is not None:
            named = [*here.get("patternProperties", {}).values(), here.get("additionalProperties") or {}]
            here = here.get("properties", {}).get(part) or named[0]
        forms = [here, *here.get("anyOf", []), *here.get("oneOf", [])]
        tag = TAG.fullmatch(str(after))
        named = [form for form in forms if tag and form.get("$ref", "").casefold().endswith(f"/{tag[1]}")]
        here = next((form for form in [*named, *forms] if INSIDE & set(form)), {})
        if "$ref" in here:
            here = schema["$defs"][here["$ref"].rpartition("/")[2]]
    return here
