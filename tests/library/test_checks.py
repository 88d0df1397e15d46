"""The rules that words and patterns decide, on more phrases and patterns than the mistakes show."""

import random
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from webapp.core.procedure import KINDS as SCHEMA_KINDS
from webapp.core.procedure import Measure, Procedure, Step
from webapp.core.vin import LETTERS, matches
from webapp.library.checks.kinds import KINDS, METHODS, SORTS
from webapp.library.checks.order import check as order
from webapp.library.checks.safety import HAZARDS, PLACES
from webapp.library.checks.vehicles import overlap
from webapp.library.lint import lint, lint_schema, report
from webapp.library.read import Document, Node
from webapp.library.sources import Sources

from .mistakes import GOOD


@pytest.mark.parametrize(
    "do",
    [
        "Hang each board on its own arm.",
        "Place the reflector.",
        "Set the left camera target upright.",
        "Lay the four patterns at their markers.",
        "Unroll the mat, then put both mats down.",
    ],
)
def test_a_sentence_that_places_something_is_recognised(do: str) -> None:
    assert PLACES.search(do)


@pytest.mark.parametrize(
    "do",
    [
        "Lay a straightedge across each board.",
        "Hang a line over each hub centre.",
        "Set the park brake; look at the boards.",
        "Lay the light meter in the middle of each pattern.",
        "Replace the plate.",
        "Set the stand so that the target can be seen.",
    ],
)
def test_a_sentence_that_places_something_else_is_left_alone(do: str) -> None:
    assert not PLACES.search(do)


@pytest.mark.parametrize(
    ("hazard", "said"),
    [
        ("laser", "Switch the line laser on."),
        ("road", "Drive at a steady speed on a straight road."),
        ("road", "Start the road drive."),
        ("lift or jack", "Raise one axle at a time."),
        ("lift or jack", "Set the jack under the maker's point."),
        ("lift or jack", "Drive it onto the lift."),
        ("high-voltage", "Keep away from orange cables."),
        ("high-voltage", "Does it carry high voltage?"),
    ],
)
def test_words_that_call_for_a_caution_are_recognised(hazard: str, said: str) -> None:
    assert HAZARDS[hazard].search(said)


@pytest.mark.parametrize(
    "said",
    [
        "Lift the board a finger's width.",
        "Ask which axles are driven.",
        "Far down the road that is the height of a kerb.",
        "Read the battery's voltage.",
        "Take off your jacket.",
    ],
)
def test_words_that_only_sound_alike_call_for_none(said: str) -> None:
    assert not [hazard for hazard, words in HAZARDS.items() if words.search(said)]


PATTERNS = st.one_of(
    st.text(alphabet="AB?", min_size=17, max_size=17), st.text(alphabet="AB?", max_size=16).map(lambda text: f"{text}*")
)


@settings(deadline=None)
@given(PATTERNS, PATTERNS, st.text(alphabet="AB", min_size=17, max_size=17))
def test_patterns_that_some_vin_matches_both_of_overlap(one: str, other: str, vin: str) -> None:
    if matches(one, vin) and matches(other, vin):
        assert overlap(one, other)


@settings(deadline=None)
@given(PATTERNS, PATTERNS)
def test_patterns_that_overlap_have_a_vin_that_matches_both(one: str, other: str) -> None:
    assert overlap(one, other) == overlap(other, one)
    if overlap(one, other):
        spread = [text.removesuffix("*").ljust(17, "?") for text in (one, other)]
        vin = "".join(next((c for c in pair if c != "?"), "A") for pair in zip(*spread, strict=True))
        assert set(vin) <= LETTERS
        assert matches(one, vin)
        assert matches(other, vin)


@settings(deadline=None)
@given(st.dictionaries(st.sampled_from("abcdef"), st.lists(st.sampled_from("abcdef"), unique=True), max_size=6))
def test_every_circle_is_found_and_cutting_the_lines_told_leaves_none(after: dict[str, list[str]]) -> None:
    found = list(order(procedures(after)))
    rest = {name: list(names) for name, names in after.items()}
    for finding in found:
        circle = finding.message.partition(": ")[2].partition(",")[0].split(" -> ")
        assert circle[0] == circle[-1] == min(circle)
        assert all(behind in after[name] for name, behind in pairwise(circle))
        name = finding.file.removesuffix(".yaml")
        rest[name].remove(after[name][finding.line - 1])
    assert not list(order(procedures(rest)))


def procedures(after: dict[str, list[str]]) -> Sources:
    """A library of nothing but an order; the line of each `after` is its place in the list."""
    made = []
    for name, names in after.items():
        file = f"{name}.yaml"
        listed = [Node(before, file, line) for line, before in enumerate(names, 1)]
        made.append(Document(file, Node({"after": Node(listed, file, 1)}, file, 1), ()))
    return Sources(tuple(made))


def test_the_rules_by_kind_name_only_what_the_schema_knows() -> None:
    def keys(model: type[Step] | type[Measure] | type[Procedure]) -> set[str]:
        return {str(field.alias) for field in model.model_fields.values()}

    for rules, model in ((KINDS, Step), (METHODS, Measure), (SORTS, Procedure)):
        assert {name for must, may in rules.values() for name in (*must, *may)} <= keys(model)
    assert tuple(KINDS) == SCHEMA_KINDS


def test_the_schema_of_each_sort_of_file_tells_what_every_field_means_and_its_units() -> None:
    schemas = lint_schema()
    assert set(schemas) == {"procedure", "fragments", "catalogue", "vehicle"}
    parts = [part for schema in schemas.values() for part in (schema, *schema["$defs"].values())]
    fields = [field for part in parts for field in part.get("properties", {}).items()]
    assert [name for name, field in fields if not field.get("description")] == []
    step = schemas["procedure"]["$defs"]["Step"]
    assert step["additionalProperties"] is False
    assert step["properties"]["expect"]["pattern"].endswith(r"(s|min)\s*$")
    assert "windscreen-replaced" in schemas["procedure"]["properties"]["due-when"]["items"]["enum"]
    assert schemas["vehicle"]["$defs"]["Placement"]["properties"]["x"]["pattern"].endswith(r"(mm|cm|m)\s*$")


def test_the_report_prints_paths_from_here_and_ends_with_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    library = tmp_path / "shop" / "procedures"
    (library / "shared").mkdir(parents=True)
    (library / "shared" / "catalogue.yaml").write_text("cautions: {}\ntargets: {}\nspot: {}\n")
    monkeypatch.chdir(tmp_path)
    assert report(library) == (
        [
            "shop/procedures/shared/catalogue.yaml:1: lacks 'spots', expected in every catalogue",
            "shop/procedures/shared/catalogue.yaml:3: unknown key 'spot', expected spots?",
        ],
        1,
    )


@pytest.mark.parametrize("seed", range(40))
def test_no_damage_to_a_file_stops_the_linter(seed: int, tmp_path: Path) -> None:
    """A line lost, moved, doubled or overwritten: whatever is left of the library is checked to its end."""
    chance = random.Random(seed)
    library = tmp_path / "library"
    for path in GOOD.rglob("*.yaml"):
        lines = path.read_text().splitlines()
        for _ in range(2):
            place = chance.randrange(len(lines))
            lines[place] = chance.choice(
                [
                    "",
                    lines[chance.randrange(len(lines))],
                    f"{lines[place].partition(':')[0]}: 3",
                    "  - [",
                    f"  {lines[place]}",
                ]
            )
        (library / path.relative_to(GOOD)).parent.mkdir(parents=True, exist_ok=True)
        (library / path.relative_to(GOOD)).write_text("\n".join(lines))
    assert lint(library), f"seed {seed}"
