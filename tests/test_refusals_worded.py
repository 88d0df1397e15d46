"""Every refusal that a page can show has a form in static/messages/, so that each language can say it."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from webapp.core.wording import HOLE
from webapp.library.read import read
from webapp.library.tongues import tongues
from webapp.messages import MESSAGES
from webapp.paths import PROCEDURES, STATIC

WEBAPP = Path(__file__).resolve().parent.parent / "webapp"
KINDS = ("BadInput", "NotFound", "NotAllowed", "Stale", "Conflict", "Unavailable", "Finding")
PAGES = ("core/act", "core/intake", "core/kinds", "core/labels", "core/measure/reading", "core/measure/square")
PAGES += (
    "core/measure/area",
    "core/measure/axis",
    "core/plan",
    "core/proven",
    "core/standing",
    "core/vin",
    "core/vouching",
    "core/whatif",
    "decode/reading",
    "storage/codes",
    "storage/competence",
    "storage/kit",
    "storage/people",
    "storage/pins",
    "storage/specs",
)
PAGES += ("storage/trouble", "sync/decisions", "web/jobs", "web/kit", "web/labels", "web/language", "web/people")
PAGES += (
    "storage/record_files",
    "web/records",
    "web/rights",
    "web/specs",
    "web/times",
    "web/guard",
    "web/forms",
    "web/privacy",
    "storage/privacy",
    "core/bundle",
    "core/took",
    "core/told_kit",
    "storage/office",
    "storage/outbox",
    "sync/forward",
    "sync/asking",
    "sync/pull",
    "core/release",
    "storage/releases",
    "web/releases",
    "web/signer",
    "web/outbox",
    "web/shops",
)
"""Where what a page refuses is worded. What only a phone's own exchange or a command can meet stays English."""

FORMS = {HOLE.sub("{}", form) for form in read(MESSAGES, "en.refusals.yaml").root.fields}


def forms(node: ast.expr, module: ast.AST) -> Iterator[str]:
    """The texts that an argument can be, with {} for each value in it."""
    if isinstance(node, ast.Constant):
        yield str(node.value)
    elif isinstance(node, ast.JoinedStr):
        yield "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
    elif isinstance(node, ast.IfExp):
        yield from (*forms(node.body, module), *forms(node.orelse, module))
    elif isinstance(node, ast.Name):
        for one in ast.walk(module):
            if isinstance(one, ast.Assign) and any(getattr(name, "id", "") == node.id for name in one.targets):
                yield from forms(one.value, module)


def refusals() -> Iterator[tuple[str, str]]:
    for path in sorted(WEBAPP.rglob("*.py")):
        file = path.relative_to(WEBAPP).as_posix()
        module = ast.parse(path.read_text(encoding="utf-8"))
        for node in ast.walk(module) if file.startswith(PAGES) else ():
            name = getattr(node, "func", None) and (getattr(node.func, "id", "") or getattr(node.func, "attr", ""))
            if name in KINDS and len(node.args) == 3:
                yield from ((form, file) for form in forms(node.args[2], module))


TEXT = r"""(?:"(?:[^"\\]|\\.)*"|`(?:[^`\\]|\\.)*`)"""
REFUSED = re.compile(
    rf"""new (?:{"|".join(KINDS)}|StorageTrouble)\(\s*"?[\w-]+"?,\s*(?:"[^"]*"|\w+),\s*({TEXT}|\w+)""", re.DOTALL
)
NAMED = re.compile(rf"const (\w+) =\s+({TEXT}|\{{.*?\n\}};)", re.DOTALL)


def refusals_of_phone() -> Iterator[tuple[str, str]]:
    """What a phone refuses by itself, as its scripts word it."""
    for path in sorted((STATIC / "phone").rglob("*.js")):
        script = path.read_text(encoding="utf-8")
        for found in REFUSED.finditer(script):
            said = found[1]
            before = [value for name, value in NAMED.findall(script[: found.start()]) if name == said]
            for text, is_key in re.findall(rf"({TEXT})(:?)", before[-1] if before else said):
                if not is_key:
                    yield re.sub(r"\$\{[^}]*\}", "{}", text[1:-1]), path.name


def test_the_sources_do_refuse() -> None:
    assert len(dict(refusals())) > 100
    assert len(dict(refusals_of_phone())) > 15


def test_every_refusal_of_a_page_has_a_form() -> None:
    assert {form: file for form, file in refusals() if form not in FORMS} == {}
    assert {form: file for form, file in refusals_of_phone() if form not in FORMS} == {}


@pytest.mark.parametrize(
    ("english", "spanish"),
    [
        ("left=91.5 must lie within 0 to 12.5", "left=91,5 debe estar entre 0 y 12,5"),
        ("reason is empty; say why it is undone", "reason está vacío; diga por qué se deshace"),
        (
            "badge=B-7: Noor is technician; a supervisor or manager must countersign",
            "badge=B-7: Noor es técnico; debe refrendar un supervisor o responsable",
        ),
        (
            "left='9x' must be one number in mm, such as 1506 or 1506,5",
            "left='9x' debe ser un solo número en mm, como 1506 o 1506,5",
        ),
        ("something else", "something else"),
    ],
)
def test_a_refusal_is_found_by_its_form_and_its_values_stay(english: str, spanish: str) -> None:
    assert tongues(PROCEDURES)["es"].wording.sentence(english) == spanish
