"""The fields of the library's files, which a page has a word for each."""

from .. import procedure  # noqa: F401 - its kinds must stand before they are asked for
from ..written import Strict


def _kinds(kind: type[Strict]) -> list[type[Strict]]:
    return [below for one in kind.__subclasses__() for below in (one, *_kinds(one))]


FIELDS = frozenset(one.alias or name for kind in _kinds(Strict) for name, one in kind.model_fields.items())
"""As the files spell them."""
