"""static/core is webapp/core once more: the same files, the same names, and as little of the world around."""

import importlib
import re
from pathlib import Path
from types import ModuleType

import pytest

from webapp.core.measure.reading import Range
from webapp.paths import STATIC

CORE = STATIC / "core"
FILES = sorted(CORE.rglob("*.js"))
# What Python brings along and JavaScript lacks, and the names of types.
OWN = {"late.js", "measured.js", "text.js", "types.js", "measure/erfc.js", "measure/fraction.js", "measure/three.js"}
SAME_NAMES = re.compile(r"(errors|kit|labels|numbers|scan|vin)\.js|(measure|drawing)/")
EXPORTED = re.compile(r"^export (?:async )?(?:function|const|class) (?:(\w+)|\[([^\]]*)\])", re.MULTILINE)
CONSTANT = re.compile(r"^(?:export )?const ([A-Z][A-Z0-9_]+) = ([-\d._e]+);$", re.MULTILINE)
RANGE = re.compile(r'^(?:export )?const ([A-Z_]+) = new Range\("([^"]*)", ([-\d._e]+), ([-\d._e]+)\);$', re.MULTILINE)
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


def twin_of(path: Path) -> ModuleType:
    """What the file mirrors in webapp/core."""
    name = name_of(path).removesuffix(".js").replace("/", ".").removesuffix(".index")
    return importlib.import_module(f"webapp.core.{name}")


def names_in(path: Path) -> set[str]:
    """The names in a file's twin, those of its classes' methods too."""
    twin = vars(twin_of(path))
    return set(twin).union(*(vars(one) for one in twin.values() if isinstance(one, type)))


@pytest.mark.parametrize("path", [path for path in FILES if name_of(path) not in OWN], ids=name_of)
def test_every_file_has_its_twin(path: Path) -> None:
    assert twin_of(path).__file__


@pytest.mark.parametrize("path", [path for path in FILES if SAME_NAMES.match(name_of(path))], ids=name_of)
def test_the_rules_about_labels_and_readings_have_the_same_names(path: Path) -> None:
    names = exported(path.read_text(encoding="utf-8")) if name_of(path) not in OWN else []
    assert [name for name in names if not {name, snake(name)} & names_in(path)] == []


def constants(path: Path) -> dict[str, float | Range]:
    """The numbers and the ranges that a file gives a name in capitals."""
    source = path.read_text(encoding="utf-8")
    numbers = {name: float(value) for name, value in CONSTANT.findall(source)}
    return numbers | {name: Range(unit, float(low), float(high)) for name, unit, low, high in RANGE.findall(source)}


@pytest.mark.parametrize("path", [path for path in FILES if constants(path) and name_of(path) not in OWN], ids=name_of)
def test_a_constant_that_both_name_alike_is_the_same(path: Path) -> None:
    module = vars(twin_of(path))
    assert {name: value for name, value in constants(path).items() if module.get(name, value) != value} == {}


def test_the_constants_are_found() -> None:
    assert constants(CORE / "measure/square.js") == {
        "TAPE_MM": Range("mm", 50, 30_000),
        "LARGEST_MISFIT": 6.63,
        "ROUNDS": 60,
        "SMALLEST_STEP_MM": 1e-9,
        "WILDLY": 2,
    }


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
