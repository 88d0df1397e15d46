"""The core's law: no Flask, no database, no files, no clock."""

import ast
import json
import subprocess
import sys
from pathlib import Path

import pytest

CORE = Path(__file__).resolve().parents[2] / "webapp/core"
MODULES = sorted(CORE.rglob("*.py"))
OUTSIDE = ("flask", "werkzeug", "jinja2", "mystace", "fluent", "sqlalchemy", "sqlmodel", "sqlite3", "alembic", "PIL")
ROOMS = ("config", "decode", "library", "messages", "paths", "serve", "storage", "web")
FILES_AND_NETWORK = {
    "glob",
    "http",
    "io",
    "os",
    "pathlib",
    "shutil",
    "socket",
    "subprocess",
    "tempfile",
    "time",
    "urllib",
}
CLOCKS = {"time", "monotonic", "perf_counter", "now", "utcnow", "today"}

IMPORT_ALL = """
import importlib, json, pkgutil, sys
import webapp.core
for module in pkgutil.walk_packages(webapp.core.__path__, "webapp.core."):
    importlib.import_module(module.name)
print(json.dumps(sorted(sys.modules)))
"""


@pytest.fixture(scope="module")
def loaded() -> set[str]:
    """Every module in an interpreter that has imported all of the core and nothing else."""
    root = str(CORE.parent.parent)
    ran = subprocess.run([sys.executable, "-c", IMPORT_ALL], cwd=root, check=True, capture_output=True, text=True)
    return set(json.loads(ran.stdout))


def dotted(path: Path) -> str:
    return ".".join(path.relative_to(CORE.parents[1]).with_suffix("").parts).removesuffix(".__init__")


def test_every_module_of_the_core_can_be_imported_alone(loaded: set[str]) -> None:
    assert len(MODULES) > 40
    assert {dotted(path) for path in MODULES} - loaded == set()


@pytest.mark.parametrize("name", OUTSIDE)
def test_the_core_brings_along_no_framework_and_no_database(loaded: set[str], name: str) -> None:
    assert {module for module in loaded if module.split(".")[0] == name} == set()


@pytest.mark.parametrize("room", ROOMS)
def test_the_core_imports_no_room_above_it(loaded: set[str], room: str) -> None:
    assert {module for module in loaded if module.startswith(f"webapp.{room}")} == set()


def breaches(source: str) -> list[str]:
    """What in a module's source opens a file, uses the network or reads a clock."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found += [one.name for one in node.names if one.name.split(".")[0] in FILES_AND_NETWORK]
        elif isinstance(node, ast.ImportFrom) and not node.level and node.module:
            found += [node.module] if node.module.split(".")[0] in FILES_AND_NETWORK else []
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "open":
            found.append("open")
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in CLOCKS:
            found.append(node.func.attr)
    return found


@pytest.mark.parametrize("path", MODULES, ids=dotted)
def test_a_module_of_the_core_opens_no_file_and_reads_no_clock(path: Path) -> None:
    assert breaches(path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    ("source", "breach"),
    [
        ("import os.path", "os.path"),
        ("from pathlib import Path", "pathlib"),
        ("from time import monotonic", "time"),
        ("text = open('notes.txt').read()", "open"),
        ("from datetime import datetime\nat = datetime.now()", "now"),
        ("import datetime\nday = datetime.date.today()", "today"),
    ],
)
def test_a_breach_would_be_seen(source: str, breach: str) -> None:
    assert breaches(source) == [breach]
