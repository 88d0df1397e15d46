"""Every word that a page shows is in the messages file, and every message there is shown somewhere."""

import ast
import re
from pathlib import Path
from typing import Any, get_args

import pytest

from webapp.core import whatif
from webapp.core.changes import SORTS as CHANGED_SORTS
from webapp.core.changes.fields import FIELDS
from webapp.core.competence import LEVELS
from webapp.core.events import KINDS as EVENT_KINDS
from webapp.core.evidence import SORTS
from webapp.core.individuals import RULES
from webapp.core.kinds.result import OUTCOMES
from webapp.core.measure import judged
from webapp.core.measure.instruments import SHAPES, UNITS
from webapp.core.procedure import REASONS, Caution, Spec, SpecFigure
from webapp.core.scan import Verdict
from webapp.core.state import PAUSES, Phase, Status
from webapp.core.view.apart import DIFFERENCES
from webapp.core.vin import Cleaning
from webapp.library import spoken
from webapp.messages import MESSAGES, Tongue, bundle, languages, plain_words, say
from webapp.paths import STATIC
from webapp.storage.phone_tables import DECISIONS
from webapp.storage.release_tables import DECISIONS as RELEASE_DECISIONS
from webapp.storage.spec_tables import DECISIONS as SPEC_DECISIONS
from webapp.storage.tables import KINDS, ROLES
from webapp.web import labels
from webapp.web.phones.guide import PICTURES
from webapp.web.specs.forms import NUMBERS, OUTLINE, SIZES
from webapp.web.times.charts import KEY
from webapp.web.times.export import JOB_COLUMNS, STEP_COLUMNS

ROOT = Path(__file__).resolve().parent.parent
PYTHON = sorted((ROOT / "webapp").rglob("*.py"))
JINJA = sorted((ROOT / "webapp").rglob("*.html"))
MUSTACHE = sorted((STATIC / "pages").glob("*.mustache"))
SCRIPTS = sorted(
    path for path in STATIC.rglob("*.js") if not {"node_modules", "vendor", "app"} & set(path.relative_to(STATIC).parts)
)
SOURCES = "\n".join(path.read_text(encoding="utf-8") for path in (*PYTHON, *JINJA, *SCRIPTS))
PAGES = "\n".join(path.read_text(encoding="utf-8") for path in MUSTACHE)
NAMES = set(bundle()._messages)

SIDES, AXLES = ("left", "right"), ("front", "rear")


def codes_in(module: str, pattern: str) -> set[str]:
    """The codes that a module of the core hands to the pages, read off its source."""
    return set(re.findall(pattern, (ROOT / "webapp" / module).read_text(encoding="utf-8")))


LIMITS = {"along_mm_per_m": [-4, 4], "across_mm_per_m": [-4, 4], "residual_mm": [0, 2]}
POINTS = [
    {"name": f"p{number}", "label": "", "x_mm": x, "y_mm": y}
    for number, (x, y) in enumerate(((0, -900), (0, 900), (3000, -900), (3000, 900), (1500, 0)))
]
POSE = {"distance_mm": 1500, "offset_mm": 0, "yaw_deg": 0}
MEASURES: dict[str, dict[str, Any]] = {
    "floor": {"method": "floor", "points": POINTS, "spots": [], "u_mm": 1, "limits": LIMITS},
    "square": {"method": "square", "track_mm": 1560, "bar_mm": 1200, "u_mm": 1, "target": POSE, "limits": {}},
    "axis": {"method": "axis", "u_mm": 1, "limits": {}},
}
READINGS = {
    "floor": {point["name"]: 0.0 for point in POINTS},
    "square": {"left_left": 1506.0, "right_right": 1516.0, "left_right": 2036.0, "right_left": 2041.0},
    "axis": {
        **{f"{axle}_{side}_x": 0.0 if axle == "front" else -2800.0 for axle in AXLES for side in SIDES},
        **{f"{axle}_{side}_y": 780.0 if side == "left" else -780.0 for axle in AXLES for side in SIDES},
        "toe_left": 0.1,
        "toe_right": 0.1,
    },
}


def parts() -> set[str]:
    """The figures that a floor, a stand and an axis are judged by, as their messages call them."""
    found = [part for name in MEASURES for part in judged.judge(MEASURES[name], [READINGS[name]])["parts"]]
    return {part["name"].replace("_", "-") for part in found}


FAMILIES: dict[str, set[str]] = {
    "advice-": codes_in("core/measure/advice.py", r'"do": "([a-z-]+)"') - {"expect"},
    "apart-": {"same-step", "job-ended", "ended-open", *DIFFERENCES},
    "apart-by-": {"phone", "server"},
    "apart-did-": set(EVENT_KINDS),
    "arrivals-was-": set(DECISIONS),
    "competence-": set(LEVELS),
    "check-later-": set(SORTS),
    "check-why-": set(SORTS),
    "cleaned-": set(get_args(Cleaning)),
    "record-erased-": {"vehicle", "photos", "vehicle-photos"},
    "drawing-alt-turn-": {"nearer", "away"},
    "drawing-alt-": {"slide-left", "slide-right", "move-nearer", "move-farther"},
    "drawing-mark-": {f"{axle}-{side}" for axle in AXLES for side in SIDES},
    "drawing-wheel-": {f"{axle}-{side}" for axle in AXLES for side in SIDES},
    "drawing-": {f"{side}-{what}" for side in SIDES for what in ("hub", "mark")},
    "guide-button-": set(PICTURES),
    "changes-": {
        "set",
        "unset",
        "becomes",
        "order",
        "layout",
        "otherwise",
        "whole",
        "step-new",
        "step-gone",
        "step",
        "spec",
    },
    "changes-field-": set(FIELDS),
    "changes-sort-": set(CHANGED_SORTS),
    "changes-state-": {"new", "gone", "changed"},
    "changes-title-": {"catalogue", "fragments"},
    "guide-do-": set(PICTURES),
    "guide-how-": set(PICTURES),
    "instrument-": set(UNITS),
    "job-is-": set(get_args(Phase)) - {"open"},
    "kit-kind-": set(KINDS),
    "kit-kinds-": {*KINDS, *labels.KINDS},
    "kit-sure-": {*SHAPES, "expanded"},
    "labels-size-": {"50", "90"},
    "limits-": {"at-most", "at-least"},
    "measure-odd-": {"first-set-fits", "no-single-tape", "more-than-one-tape"},
    "open-": {"left-undone", "not-run"},
    "outcome-": set(OUTCOMES),
    "part-": parts(),
    "owner-is-": {"done", "failed", "not-run"},
    "pause-": {*PAUSES, "finishing"},
    "phones-is-": {"from-file", "paired", "revoked"},
    "plan-kit-": {"good", "damaged", "overdue"},
    "reading-": {
        name.replace("_", "-")
        for method in ("square", "axis")
        for name, _label, _range in judged.fields(MEASURES[method])
    }
    | {f"tyre-{axle}-{side}" for axle in AXLES for side in SIDES},
    "reason-": set(REASONS),
    "record-reference-": set(get_args(Spec.model_fields["reference"].annotation)),
    "releases-was-": set(RELEASE_DECISIONS),
    "role-": set(ROLES),
    "scan-": set(get_args(Verdict)),
    "signal-": {word.lower() for word in get_args(Caution.model_fields["signal"].annotation)},
    "scan-next-": codes_in("core/scan.py", r'do(?:=|": )"([a-z-]+)"'),
    "specs-line-": set(get_args(get_args(SpecFigure.model_fields["reference"].annotation)[0])),
    "specs-number-": set(NUMBERS),
    "specs-outline-": set(OUTLINE),
    "specs-place-": set(SIZES),
    "specs-was-": set(SPEC_DECISIONS),
    "step-": set(get_args(Status)),
    "times-column-": {column.replace("_", "-") for column in (*JOB_COLUMNS, *STEP_COLUMNS)},
    "times-effect-": {"none", "longer", "shorter"},
    "times-effect-of-": {"revision", "day"},
    "times-effect-revision-": {"before", "after"},
    "times-effect-day-": {"before", "after"},
    "times-file-": {"jobs", "steps"},
    "times-how-": {
        *("median", "p80", "interval", "own", "shared", "first", "estimated", "trend", "limit", "rules", "effect"),
        "people",
    },
    "times-jobs-": {"all", "again", "left-out"},
    "times-key-": {"median", "p80", *KEY},
    "times-narrowed-": {"since", "until"},
    "times-parquet-": {"jobs", "steps"},
    "times-rule-": {name for name, *_ in RULES},
    "times-whatif-": {"bays", "technicians", "stands", "came", "done", "in-bay", "not-begun", whatif.PAIR},
    "times-whatif-bottleneck-": set(whatif.ADDED),
    "times-whatif-field-": set(whatif.LIMITS),
    "times-whatif-way-": set(whatif.WAYS),
    "times-outcome-": {*OUTCOMES, "left-undone"},
    "today-": {"abandoned", "finished-job"},
    "today-check-": {"due", "running", "valid"},
    "today-check-go-": {"due", "running"},
    "verdict-": set(judged.WORST_FIRST),
    "verdict-short-": set(judged.WORST_FIRST) - {"does-not-fit"},
}
"""What is asked for by a name that is put together: its beginning, and every ending that the code can put there."""


def first_arguments() -> list[str]:
    """The first argument of every call of `say` in a Jinja template."""
    found = []
    for path in JINJA:
        text = path.read_text(encoding="utf-8")
        for start in (match.end() for match in re.finditer(r"\bsay\(", text)):
            depth, end = 0, start
            while depth >= 0 and not (depth == 0 and text[end] == ","):
                depth += {"(": 1, ")": -1}.get(text[end], 0)
                end += 1
            found.append(text[start:end].rstrip("),"))
    return found


def choices(argument: ast.expr) -> list[ast.expr]:
    """What an argument can be: itself, or both sides of `a if b else c`."""
    return [argument.body, argument.orelse] if isinstance(argument, ast.IfExp) else [argument]


def asked_in_python() -> tuple[set[str], set[str]]:
    """What is asked of `say`: whole names, and the beginnings of names that are put together."""
    whole, begun = set(), set()
    for path in PYTHON:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and node.args and getattr(node.func, "id", "") == "say":
                for part in choices(node.args[0]):
                    if isinstance(part, ast.JoinedStr):
                        begun.add(str(getattr(part.values[0], "value", "")))
                    elif isinstance(part, ast.Constant):
                        whole.add(str(part.value))
    return whole, begun


def asked_in_jinja() -> tuple[set[str], set[str]]:
    whole, begun = set(), set()
    for argument in first_arguments():
        if "~" in argument:
            begun.add(re.findall(r"""["']([a-z0-9-]+)["']""", argument)[0])
        else:
            whole |= set(re.findall(r"""(?<!== )["']([a-z0-9-]+)["']""", argument))
    return whole, begun


WHOLE, BEGUN = (one | other for one, other in zip(asked_in_python(), asked_in_jinja(), strict=True))


def test_the_sources_do_ask_for_messages() -> None:
    assert len(WHOLE) > 100
    assert len(BEGUN) > 20


def test_what_is_said_by_its_name_has_a_message() -> None:
    assert sorted(WHOLE - NAMES) == []


def test_what_is_said_by_a_name_put_together_is_a_family_known_here() -> None:
    assert BEGUN - FAMILIES.keys() == set()


@pytest.mark.parametrize("prefix", FAMILIES)
def test_a_family_has_a_message_for_every_code(prefix: str) -> None:
    assert len(FAMILIES[prefix]) > 1
    assert {prefix + code for code in FAMILIES[prefix]} - NAMES == set()


def test_every_word_of_the_job_pages_has_a_message_without_variables() -> None:
    words = set(re.findall(r"\{\{[#^]?t\.([a-z0-9-]+)", PAGES))
    assert len(words) > 50
    assert words - plain_words().keys() == set()


def test_every_message_is_shown_somewhere() -> None:
    quoted = set(re.findall(r"""["'`]([a-z][a-z0-9-]*)["'`]""", SOURCES)) | set(re.findall(r"\bt\.([a-z0-9-]+)", PAGES))
    families = {prefix + code for prefix, codes in FAMILIES.items() for code in codes}
    how = {f"times-how-{word}-is" for word in FAMILIES["times-how-"]}
    assert NAMES - quoted - families - how == set()


def test_no_message_stands_twice_in_the_file() -> None:
    names = re.findall(r"^([a-z][a-z0-9-]*) =", (STATIC / "messages/en.ftl").read_text(encoding="utf-8"), re.MULTILINE)
    assert sorted(names) == sorted(set(names))
    assert set(names) == NAMES


def test_a_message_that_is_not_there_or_lacks_a_variable_is_loud() -> None:
    with pytest.raises(LookupError):
        say("no-such-message")
    with pytest.raises(LookupError):
        say("minutes")


def test_a_name_may_be_spelled_as_data_spells_it() -> None:
    assert say("reading-left_right") == say("reading-left-right")


def test_what_is_filled_in_is_not_wrapped_in_invisible_signs() -> None:
    assert say("minutes", count=4) == "4 min"


@pytest.mark.parametrize("code", [one for one in languages() if one != "en"])
def test_no_language_says_what_english_does_not_or_with_other_variables(code: str) -> None:
    # What is missing is said in English; `baybook lint` tells of it.
    assert [str(one) for one in spoken.check() if one.file.startswith(f"{code}.")] == []


def test_a_message_that_is_missing_too_much_or_takes_another_variable_is_found_with_its_line(tmp_path: Path) -> None:
    (tmp_path / "en.ftl").write_text("one = { $count } jobs\ntwo = Two\nthree = Three\n", encoding="utf-8")
    (tmp_path / "en.refusals.yaml").write_text('"{a} is not {b}":\n"no":\n', encoding="utf-8")
    (tmp_path / "xx.refusals.yaml").write_text('"{a} is not {b}": "{b} {c}"\n"yes": "ja"\n', encoding="utf-8")
    (tmp_path / "xx.ftl").write_text("one = { $n } opgaver\nthree = Tre\nfour = Fire\n!\n", encoding="utf-8")
    assert [str(one) for one in spoken.check(tmp_path)] == [
        "xx.ftl:4: not readable as Fluent, expected name = text",
        "xx.ftl:1: 'one' takes $n, expected $count",
        "xx.ftl:3: 'four' is no message, expected one of en.ftl",
        "en.ftl:2: 'two' is missing in xx.ftl",
        "xx.refusals.yaml:1: '{b} {c}' has other holes, expected those of '{a} is not {b}'",
        "xx.refusals.yaml:2: 'yes' is no form of a refusal, expected one of en.refusals.yaml",
        "en.refusals.yaml:2: 'no' is missing in xx.refusals.yaml",
    ]


def test_what_a_language_lacks_is_said_in_english(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name, text in (("en", (MESSAGES / "en.ftl").read_text()), ("xx", "button-pause = Pavse\n")):
        (tmp_path / f"{name}.ftl").write_text(text, encoding="utf-8")
    monkeypatch.setattr("webapp.messages.MESSAGES", tmp_path)
    bundle.cache_clear()
    try:
        assert [Tongue("xx").say(name) for name in ("button-pause", "button-more")] == ["Pavse", "More"]
    finally:
        bundle.cache_clear()
