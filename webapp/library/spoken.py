"""Whether every language says all that the app says: its messages against the English ones."""

from pathlib import Path
from typing import Any

from fluent.syntax import FluentParser, ast

from webapp.core.wording import HOLE
from webapp.messages import ENGLISH, MESSAGES

from .finding import Finding
from .read import read

Said = dict[str, tuple[int, set[str]]]
"""By a message's name: its line, and the variables it takes."""


def check(folder: Path = MESSAGES) -> list[Finding]:
    """What a language lacks, has too much of, or says with other variables than English does."""
    english, _ = _read(folder, ENGLISH)
    found: list[Finding] = []
    for code in sorted(path.stem for path in folder.glob("*.ftl") if path.stem != ENGLISH):
        said, unread = _read(folder, code)
        found += unread
        file = f"{code}.ftl"
        for name, (line, given) in said.items():
            if name not in english:
                found.append(Finding(file, line, f"'{name}' is no message, expected one of {ENGLISH}.ftl"))
            elif given != english[name][1]:
                found.append(
                    Finding(file, line, f"'{name}' takes {_these(given)}, expected {_these(english[name][1])}")
                )
        missing = [name for name in english if name not in said]
        found += [Finding(f"{ENGLISH}.ftl", english[name][0], f"'{name}' is missing in {file}") for name in missing]
        found += _refusals(folder, code)
    return found


def _refusals(folder: Path, code: str) -> list[Finding]:
    """The same of the forms of refusals, whose variables are {holes}."""
    file, model = f"{code}.refusals.yaml", f"{ENGLISH}.refusals.yaml"
    wanted, document = read(folder, model).root.fields, read(folder, file)
    said = document.root.fields
    found = list(document.findings)
    for form, other in said.items():
        if form not in wanted:
            found.append(other.says(f"'{form}' is no form of a refusal, expected one of {model}"))
        elif not other.text:
            found.append(other.says(f"'{form}' has no translation, expected a text"))
        elif set(HOLE.findall(other.text)) - set(HOLE.findall(form)):
            found.append(other.says(f"'{other.text}' has other holes, expected those of '{form}'"))
    return found + [node.says(f"'{form}' is missing in {file}") for form, node in wanted.items() if form not in said]


def _read(folder: Path, code: str) -> tuple[Said, list[Finding]]:
    text, said, unread = (folder / f"{code}.ftl").read_text(encoding="utf-8"), Said(), []
    for entry in FluentParser().parse(text).body:
        line = text.count("\n", 0, entry.span.start if entry.span else 0) + 1
        if isinstance(entry, ast.Junk):
            unread.append(Finding(f"{code}.ftl", line, "not readable as Fluent, expected name = text"))
        if isinstance(entry, ast.Message) and entry.value:
            said[entry.id.name] = line, set(_variables(entry.value))
    return said, unread


def _variables(node: Any) -> list[str]:
    if isinstance(node, ast.VariableReference):
        return [node.id.name]
    if isinstance(node, ast.BaseNode):
        return [name for value in vars(node).values() for name in _variables(value)]
    return [name for one in node for name in _variables(one)] if isinstance(node, list) else []


def _these(names: set[str]) -> str:
    return ", ".join(f"${name}" for name in sorted(names)) or "no variable"
