"""The import law is held by a linter; these show that it would notice."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent

BREACHES = [
    ("core", "import flask", "webapp.core is not allowed to import flask"),
    ("core", "import sqlmodel", "webapp.core is not allowed to import sqlmodel"),
    ("core", "from pathlib import Path", "webapp.core is not allowed to import pathlib"),
    ("core", "import time", "webapp.core is not allowed to import time"),
    ("core", "from webapp import paths", "webapp.core is not allowed to import webapp.paths"),
    ("core", "import webapp.storage", "webapp.core is not allowed to import webapp.storage"),
    ("storage", "import flask", "webapp.storage is not allowed to import flask"),
    ("storage", "import webapp.web", "webapp.storage is not allowed to import webapp.web"),
    ("decode", "import webapp.storage", "webapp.decode is not allowed to import webapp.storage"),
]


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    # The copy's own package must win over the checkout's, so the copy goes first on the path.
    code = (
        f"import sys; sys.path.insert(0, {str(folder)!r}); from importlinter.cli import lint_imports_command as c; c()"
    )
    command = [sys.executable, "-c", code, "--no-cache", "--no-logo"]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, check=False)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "webapp", tmp_path / "webapp", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    return tmp_path


@pytest.mark.parametrize(("room", "line", "complaint"), BREACHES)
def test_a_breach_of_the_law_is_named(copy: Path, room: str, line: str, complaint: str) -> None:
    (copy / "webapp" / room / "breach.py").write_text(f"{line}\n")
    ran = lint(copy)
    assert ran.returncode != 0
    assert complaint in ran.stdout
