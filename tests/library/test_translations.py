"""A language is begun by adding files only; lint tells what it lacks, and the pages say that in English."""

import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import get_args, get_type_hints

import pytest
from pydantic import BaseModel

from webapp.core import procedure
from webapp.core.wording import TEXTS
from webapp.core.written import Text
from webapp.library.lint import report
from webapp.library.sources import sources
from webapp.library.translations import check, translated, translations
from webapp.paths import PROCEDURES

ROOT = Path(__file__).resolve().parents[2]
NOT_READ = {"unit", "source", "maker", "model", "vin", "needs"}
"""Texts of the schema that are names, signs or the source of a figure, the same in every language."""

SCAN = "Scan the label of the bay you will work in."
STALE = "is not in the library, expected one of its texts as it stands"


@pytest.fixture
def library(tmp_path: Path) -> Path:
    """What ships, with nothing said of one text, too much of another and two things of a third."""
    folder = tmp_path / "procedures"
    shutil.copytree(PROCEDURES, folder)
    return folder


def wrong(library: Path) -> list[str]:
    """What is wrong with what a language says; what it does not say yet is English on the pages."""
    return [str(one) for one in check(library, sources(library)) if "is missing" not in str(one)]


def test_what_is_missing_stale_empty_or_said_twice_is_told_with_file_and_line(library: Path) -> None:
    said = library / "translations/es/bay-ready.yaml"
    lines = said.read_text(encoding="utf-8").splitlines(keepends=True)
    more = ['"No such text": "x"\n', lines[1].split('": ')[0] + '":\n']
    said.write_text("".join([lines[0], *lines[2:], more[0]]), encoding="utf-8")
    (library / "translations/es/more.yaml").write_text('"Bay ready": "Otro"\n' + more[1], encoding="utf-8")
    assert sorted(wrong(library)) == [
        f"translations/es/bay-ready.yaml:{len(lines)}: 'No such text' {STALE}",
        "translations/es/more.yaml:1: 'Bay ready' is translated twice, and otherwise",
        f"translations/es/more.yaml:2: '{SCAN}' has no translation, expected a text",
    ]
    (library / "translations/es/more.yaml").unlink()
    (found,) = (str(one) for one in check(library, sources(library)) if SCAN in str(one))
    english = (library / "shared/bay-ready.yaml").read_text(encoding="utf-8").splitlines()
    line = next(number for number, text in enumerate(english, 1) if SCAN in text)
    assert found == f"shared/bay-ready.yaml:{line}: '{SCAN}' is missing in translations/es"
    lines, status = report(library)
    assert (status, len(lines)) == (0, 2)  # English stands there: nothing fails, and lint says so
    assert report(library, translated=True)[1] == 1


def test_a_text_that_was_changed_is_still_said_for_the_sheets_that_were_frozen_with_it(library: Path) -> None:
    former = library / "translations/es/former.yaml"
    before = former.read_text(encoding="utf-8") if former.exists() else ""
    former.write_text(before + '"An old text.": "Un texto antiguo."\n', encoding="utf-8")
    assert wrong(library) == []
    assert translated(translations(library)["es"])["An old text."] == "Un texto antiguo."


def test_every_text_of_the_schema_is_translated_or_is_known_not_to_be() -> None:
    found = set()
    for model in vars(procedure).values():
        if isinstance(model, type) and issubclass(model, BaseModel):
            hints = get_type_hints(model, include_extras=True)
            found |= {name for name, hint in hints.items() if _holds_text(hint)}
    assert found - NOT_READ - TEXTS == set()
    assert len(found) > 10


def _holds_text(hint: object) -> bool:
    return hint == Text or any(_holds_text(one) for one in get_args(hint) if hint != Text)


def _run(top: Path, *command: str, status: int = 0) -> str:
    env = {name: value for name, value in os.environ.items() if name not in ("PROCEDURES", "DATA")}
    done = subprocess.run(
        [sys.executable, *command], cwd=top, env=env | {"PYTHONPATH": str(top)}, capture_output=True, text=True
    )
    assert done.returncode == status, done.stderr or done.stdout
    return done.stdout


PAGE = """
from pathlib import Path
from webapp import create_app
from webapp.config import settings
app = create_app(settings({}, data=Path("data")))
asked = {"headers": {"Accept-Language": "xx-YY, en;q=0.5"}}
print(app.test_client().get("/", **asked).text)
print(app.extensions["tongues"]["xx"].wording.of("Bay ready"))
print(app.test_client().get("/words/xx.json").text)
print(app.test_client().get("/sw.js").text[:6000])
"""


def test_a_third_language_is_begun_by_adding_files_only(tmp_path: Path) -> None:
    for name in ("webapp", "procedures", ".ci"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "static", tmp_path / "static", ignore=shutil.ignore_patterns("node_modules", "*.map"))
    (tmp_path / "static/node_modules").symlink_to(ROOT / "static/node_modules")
    written = _run(tmp_path, "-m", "webapp.cli", "lint", "--start", "xx").split()
    assert {Path(path).name for path in written} >= {"xx.ftl", "xx.refusals.yaml", "bay-ready.yaml", "catalogue.yaml"}
    assert "translations: " in _run(tmp_path, "-m", "webapp.cli", "lint")
    told = _run(tmp_path, "-m", "webapp.cli", "lint", "--translations", status=1)
    assert "procedures/translations/xx/bay-ready.yaml:1: 'Bay ready' has no translation" in told
    assert "'nav-today' is missing in xx.ftl" in told
    assert _run(tmp_path, "-m", "webapp.cli", "lint", "--start", "xx") == ""  # what is there stays as it is

    messages, texts = tmp_path / "static/messages/xx.ftl", tmp_path / "procedures/translations/xx/bay-ready.yaml"
    messages.write_text(messages.read_text().replace("# nav-today = Today", "nav-today = Xoday"))
    texts.write_text(texts.read_text().replace('"Bay ready":', '"Bay ready": "Xay ready"'))
    _run(tmp_path, ".ci/app.py")
    page = _run(tmp_path, "-c", PAGE)
    assert '<html lang="xx">' in page
    assert ">Xoday</a>" in page
    assert ">New job</a>" in page  # what nobody has said yet stands in English
    assert "Xay ready" in page
    assert "/words/xx.json" in page
