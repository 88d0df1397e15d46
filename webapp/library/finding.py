"""What `baybook lint` says about one line of one file."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, order=True)
class Finding:
    """`file` is relative to the library's folder; `message` says what is there, and what was expected."""

    file: str
    line: int
    message: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}: {self.message}"


TOO_LARGE = re.compile("'([^']*)' is more than can be,")


def plainest(findings: Iterable[Finding]) -> set[Finding]:
    """Each once. Of a quantity in the wrong unit it is not said as well that it is too large in that unit."""
    found = {*findings}
    at: dict[tuple[str, int], list[str]] = {}
    for one in found:
        at.setdefault((one.file, one.line), []).append(one.message)
    return {one for one in found if not _is_of_wrong_unit(one, at[one.file, one.line])}


def _is_of_wrong_unit(one: Finding, beside: Iterable[str]) -> bool:
    large = TOO_LARGE.search(one.message)
    return large is not None and any(f" {large[1]} is in " in message for message in beside)


def expected(given: str, known: Iterable[str]) -> str:
    """Say what was expected instead of `given`: the nearest known name, or all of them where none is near."""
    names = list(dict.fromkeys(known))
    near = get_close_matches(given, names, n=1, cutoff=0.6)
    if near:
        return f"expected {near[0]}?"
    return f"expected {one_of(names)}" if names else "expected none: there are none of that sort"


def one_of(names: Iterable[str]) -> str:
    names = list(names)
    return names[0] if len(names) == 1 else f"one of {', '.join(names)}"
