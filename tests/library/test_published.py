"""What is published beside the library: its JSON Schema for editors, and the table of what it holds."""

import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest

from webapp.library.lint import lint_schema
from webapp.library.load import load
from webapp.library.read import read
from webapp.library.sources import sort_of, sources
from webapp.library.table import HEAD, table
from webapp.paths import PROCEDURES, STATIC

from .mistakes import GOOD, Mistake, mistakes

ROOT = STATIC.parent
SCHEMAS = {name: jsonschema_rs.validator_for(schema) for name, schema in lint_schema().items()}
FILES = [
    pytest.param(folder, one.file, id=f"{folder.name}-{one.file}")
    for folder in (PROCEDURES, GOOD)
    for one in sources(folder).documents
]
# What an editor has to underline without running lint; how large a number is, only lint can tell.
SIZES = {"shape: a duration of nothing", "shape: more than any bay has"}
SHAPE = [one for one in mistakes() if one.title.startswith("shape: ") and one.title not in SIZES]


def plain(folder: Path, file: str) -> Any:
    return read(folder, file).root.plain()


@pytest.mark.parametrize(("folder", "file"), FILES)
def test_every_file_fits_the_schema_of_its_sort(folder: Path, file: str) -> None:
    errors = SCHEMAS[sort_of(file)].iter_errors(plain(folder, file))
    assert [f"{list(one.instance_path)}: {one.message}" for one in errors] == []


@pytest.mark.parametrize("mistake", SHAPE, ids=lambda one: one.title)
def test_a_file_of_another_shape_does_not(mistake: Mistake, tmp_path: Path) -> None:
    mistake.make(tmp_path / "library")
    fits = [SCHEMAS[sort_of(file)].is_valid(plain(tmp_path / "library", file)) for file in mistake.files]
    assert not all(fits)


def test_the_schemas_the_lines_that_lead_to_them_and_the_table_are_current() -> None:
    run = subprocess.run([sys.executable, ".ci/library.py", "--check"], cwd=ROOT, capture_output=True, text=True)
    assert (run.returncode, run.stderr) == (0, "")
    for path in (PROCEDURES / one.file for one in sources(PROCEDURES).documents):
        key, _, schema = path.read_text().partition("\n")[0].partition("=")
        assert key == "# yaml-language-server: $schema"
        assert (path.parent / schema).is_file(), path


def test_the_table_counts_what_the_files_have() -> None:
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in table(load(GOOD)).splitlines()]
    assert rows[0] == list(HEAD)
    camera = next(row for row in rows if row[0] == "Forward camera (`forward-camera`)")
    # 7 min 20 s: without the steps that hang on a vehicle's qualifier, which the table does not know.
    assert camera[1:] == ["calibration", "7", "1", "7", "1", "1", "7"]
    assert rows[-1][2] == str(sum(int(row[2]) for row in rows[2:-1]))
