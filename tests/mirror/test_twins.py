"""static/core is webapp/core once more: the same files, the same names, and as little of the world around."""

import importlib
import re
from pathlib import Path

import pytest

from webapp.paths import STATIC

CORE = STATIC / "core"
FILES = sorted(CORE.rglob("*.js"))
# What Python brings along and JavaScript lacks, and the names of types.
OWN = {"text.js", "types.js", "measure/erfc.js", "measure/fraction.js", "measure/three.js"}
# Names that only JavaScript needs: Python has a dataclass's own constructor, or a loop where these stand.
ONLY_HERE = {
    "fold.js": {"byPlace"},
    "state.js": {"newJob", "newStep", "stateOf"},
    "view/kinds.js": {"numbered"},
}
EXPORTED = re.compile(r"^export (?:async )?(?:function|const|class) (?:(\w+)|\[([^\]]*)\])", re.MULTILINE)
IMPORTED = re.compile(r"""(?:\bfrom|\bimport)\s*\(?\s*["']([^"']+)["']""")
# A clock, chance, or a way out; what a browser has besides is refused by the linter.
WORLD = re.compile(
    r"\bDate\.now\b|\bnew Date\(\)|\bMath\.random\b|\bsetTimeout\b|\bsetInterval\b|\bglobalThis\b|\bprocess\b"
)


def name_of(path: Path) -> str:
    return path.relative_to(CORE).as_posix()


def snake(name: str) -> str:
    return name if name.isupper() else re.sub(r"(?<=[a-z0-9])(?=[A-Z])", "_", name).lower()


def exported(source: str) -> list[str]:
    return [name for one, several in EXPORTED.findall(source) for name in re.findall(r"\w+", one or several)]


def test_the_rules_for_the_phone_are_there() -> None:
    assert {name_of(path) for path in FILES} >= OWN
    assert len(FILES) > 30


def names_in(path: Path) -> set[str]:
    """The names in a file's twin in webapp/core, those of its classes' methods too."""
    module = "webapp.core." + name_of(path).removesuffix(".js").replace("/", ".").removesuffix(".index")
    twin = vars(importlib.import_module(module))
    return set(twin).union(*(vars(one) for one in twin.values() if isinstance(one, type)))


@pytest.mark.parametrize("path", [path for path in FILES if name_of(path) not in OWN], ids=name_of)
def test_every_file_has_its_twin_and_exports_what_that_has(path: Path) -> None:
    names = set(exported(path.read_text(encoding="utf-8")))
    missing = {name for name in names if not {name, snake(name)} & names_in(path)}
    assert names
    assert missing == ONLY_HERE.get(name_of(path), set())


@pytest.mark.parametrize("path", FILES, ids=name_of)
def test_a_file_imports_nothing_from_outside_and_asks_the_world_nothing(path: Path) -> None:
    source = path.read_text(encoding="utf-8")
    for target in IMPORTED.findall(source):
        assert target.startswith("."), target
        assert (path.parent / target).resolve().is_relative_to(CORE.resolve()), target
    assert WORLD.findall(source) == []


@pytest.mark.parametrize("breach", ["Date.now()", "new Date()", "Math.random()", "globalThis.x", "setTimeout(f)"])
def test_a_breach_would_be_seen(breach: str) -> None:
    assert WORLD.search(f"const x = {breach};")
