"""Reads mistakes/*.txt: each is a change to the good library, with what the linter must say written beside it."""

import shutil
from dataclasses import dataclass, field
from pathlib import Path

HERE = Path(__file__).parent
GOOD = HERE / "good"
SAID = " # <- "


@dataclass
class Mistake:
    """`files` maps a file to its changes: the lines taken out, the lines put in instead."""

    title: str
    files: dict[str, list[tuple[list[str], list[str]]]] = field(default_factory=dict)

    def make(self, folder: Path) -> list[str]:
        """Write the library with this mistake to `folder`; return what lint must say, as it prints it."""
        shutil.copytree(GOOD, folder)
        expected: list[str] = []
        for file, changes in self.files.items():
            path = folder / file
            path.parent.mkdir(exist_ok=True)
            lines = path.read_text().splitlines() if path.exists() else []
            for out, put in changes:
                lines = _changed(lines, out, put, self.title)
            path.write_text("\n".join(lines) + "\n")
            expected += [f"{file}:{n}: {said}" for n, line in enumerate(lines, 1) for said in line.split(SAID)[1:]]
        return sorted(expected, key=_place)


def mistakes() -> list[Mistake]:
    return [one for path in sorted((HERE / "mistakes").glob("*.txt")) for one in _read(path)]


def _read(path: Path) -> list[Mistake]:
    found: list[Mistake] = []
    for line in path.read_text().splitlines():
        if line.startswith("== "):
            found.append(Mistake(f"{path.stem}: {line[3:]}"))
        elif line.startswith("@ "):
            changes = found[-1].files.setdefault(line[2:], [])
            changes.append(([], []))
        elif line.startswith("-"):
            if changes[-1][1]:
                changes.append(([], []))
            changes[-1][0].append(line[1:])
        elif line.startswith("+"):
            changes[-1][1].append(line[1:])
    return found


def _changed(lines: list[str], out: list[str], put: list[str], title: str) -> list[str]:
    """Put the new lines where the old ones stand as one run, or at the end."""
    places = [n for n in range(len(lines)) if lines[n : n + len(out)] == out] if out else [len(lines)]
    assert len(places) == 1, f"{title}: {out} stands {len(places)} times in the good library"
    return [*lines[: places[0]], *put, *lines[places[0] + len(out) :]]


def _place(finding: str) -> tuple[str, int, str]:
    file, line, message = finding.split(":", 2)
    return file, int(line), message
