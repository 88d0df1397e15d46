"""Whether a file has the shape of its sort: pydantic's findings, in the words of `baybook lint`."""

from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from webapp.core.procedure import Catalogue, Procedure, Vehicle

from .finding import Finding
from .read import Document, Node

Model = TypeVar("Model", bound=BaseModel)

SORTS: dict[str, type[BaseModel]] = {"procedure": Procedure, "catalogue": Catalogue, "vehicle": Vehicle}


def shape(document: Document, model: type[Model]) -> tuple[Model | None, list[Finding]]:
    """Return the file as `model`, or None and every place where it has another shape."""
    if document.root is None:
        return None, []
    try:
        return model.model_validate(document.root.plain()), []
    except ValidationError as error:
        return None, [_finding(document, one) for one in error.errors(include_url=False)]


def _finding(document: Document, error: ErrorDetails) -> Finding:
    path = [part for part in error["loc"] if not str(part).startswith("<") and part != "[key]"]
    node = (document.root or Node(None, 1)).at(*path)
    return Finding(document.file, node.line, f"{_spelled(path)}: {error['msg']}")


def _spelled(path: list[Any]) -> str:
    """Spell a place as a person points at it: `steps[2].expect`."""
    spelled = "".join(f"[{part}]" if isinstance(part, int) else f".{part}" for part in path)
    return spelled.removeprefix(".") or "file"
