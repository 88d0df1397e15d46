"""Write what is made from the library: for editors the JSON Schema of each sort of file and the line at the top of each
file that leads to it, and the table in procedures/README.md. `--check` writes nothing and tells what is not current.
"""

import json
import sys
from collections.abc import Iterator
from pathlib import Path

from webapp.library.lint import lint_schema
from webapp.library.load import load
from webapp.library.sources import sort_of, sources
from webapp.library.table import put_in, table
from webapp.paths import PROCEDURES

SCHEMAS = PROCEDURES / "schema"
README = PROCEDURES / "README.md"
LINE = "# yaml-language-server: $schema="


def made() -> Iterator[tuple[Path, str]]:
    """Yield each file with the text that it has to have."""
    for name, schema in lint_schema().items():
        yield SCHEMAS / f"{name}.json", json.dumps(schema, indent=1, ensure_ascii=False) + "\n"
    # Not the translations: lint finds their keys in the files that they translate.
    for file in (one.file for one in sources(PROCEDURES).documents):
        path, up = PROCEDURES / file, "../" * file.count("/")
        text = path.read_text(encoding="utf-8")
        rest = text.partition("\n")[2] if text.startswith(LINE) else text
        yield path, f"{LINE}{up}schema/{sort_of(file)}.json\n{rest}"
    yield README, put_in(README.read_text(encoding="utf-8"), table(load(PROCEDURES)))


def stale() -> list[Path]:
    return [path for path, text in made() if not path.exists() or path.read_text(encoding="utf-8") != text]


if __name__ == "__main__":
    behind = stale()
    if "--check" not in sys.argv:
        for path, text in list(made()):
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
    elif behind:
        sys.exit(f"not current, run make library: {', '.join(path.name for path in behind)}")
