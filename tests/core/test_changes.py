"""What a release changes: every file that differs is mentioned, and every text and figure in it."""

import copy
import random
from collections.abc import Iterator
from typing import Any

import pytest

from webapp.core.changes import Note, changes
from webapp.core.changes.figures import in_short, in_unit
from webapp.core.changes.walk import leaves, same
from webapp.library.stock import documents_in, files_in
from webapp.paths import PROCEDURES

SHIPPED = documents_in(files_in(PROCEDURES))
CAMERA, COMPACT = "forward-camera-static.yaml", "vehicles/kestovar-compact.yaml"


def told(place: str, change: Any, unit: Any = "mm") -> list[Note]:
    """What is said of one file after `change` was made to its document."""
    after = {**SHIPPED, place: copy.deepcopy(SHIPPED[place])}
    change(after[place])
    (one,) = changes(SHIPPED, after, [place], unit)
    assert (one.place, one.state) == (place, "changed")
    return list(one.notes)


def test_a_revision_and_a_sentence() -> None:
    def change(document: Any) -> None:
        document["revision"] = 3
        document["steps"][0]["why"] = "Because."

    first, second = told(CAMERA, change)
    assert (first.what, first.before, first.after) == ("revision", "2", "3")
    assert second.what == "becomes"
    assert second.at == SHIPPED[CAMERA]["steps"][0]["do"]
    assert [one.name for one in second.way] == ["why"]
    assert (second.before, second.after) == (SHIPPED[CAMERA]["steps"][0]["why"], "Because.")


def test_steps_that_are_new_gone_or_elsewhere() -> None:
    def change(document: Any) -> None:
        steps = document["steps"]
        steps[0], steps[1] = steps[1], steps[0]
        gone.append(steps.pop())
        measure = {
            "method": "values",
            "readings": [{"name": "gap", "label": "Gap", "unit": "mm", "limits": {"high": "2 mm"}}],
        }
        steps.insert(
            0, {"id": "gap", "do": "Measure the gap.", "kind": "measure", "measure": measure, "hold": "everyone"}
        )

    gone: list[Any] = []
    notes = told(CAMERA, change)
    assert Note("step-new", "Measure the gap.") in notes
    assert any(one.at == "Measure the gap." and one.after == "≤ 2 mm" for one in notes)
    assert any(one.at == "Measure the gap." and one.after == "everyone" for one in notes)
    assert any(one.what == "step-gone" and one.at in str(gone[0].values()) for one in notes)
    order = next(one for one in notes if one.what == "step-order")
    assert order.after.startswith("Measure the gap. → ")


@pytest.mark.parametrize(
    ("unit", "before", "after"),
    [
        ("mm", "1350 ± 5 mm", "1350 ± 3 mm"),
        ("in", "53.15 ± 0.197 in (1350 ± 5 mm)", "53.15 ± 0.118 in (1350 ± 3 mm)"),
    ],
)
def test_a_figure_in_the_readers_unit(unit: str, before: str, after: str) -> None:
    def change(document: Any) -> None:
        document["specs"]["forward-camera-static"]["figures"]["distance"]["tolerance"] = "3 mm"

    (note,) = told(COMPACT, change, unit)
    assert (note.what, note.before, note.after) == ("becomes", before, after)
    assert [one.name for one in note.way] == ["specs", "forward-camera-static", "figures", "distance"]
    assert [one.field for one in note.way] == [True, False, True, False]


def test_a_target_that_stands_elsewhere_is_named() -> None:
    def change(document: Any) -> None:
        document["specs"]["forward-camera-static"]["placements"][0]["x"] = "1400 mm"

    (note,) = told(COMPACT, change, "in")
    assert [one.name for one in note.way][-2:] == ["stand-left-arm", "x"]
    assert (note.before, note.after) == ("53.15 in (1350 mm)", "55.118 in (1400 mm)")


def test_a_shared_step_says_which_procedures_take_it_in() -> None:
    fragments = "shared/fragments.yaml"
    name = next(iter(SHIPPED[fragments]["fragments"]))

    def change(document: Any) -> None:
        document["fragments"][name]["steps"][0]["why"] = "Because."

    first, second = told(fragments, change)
    procedures = [one for one in SHIPPED.values() if "steps" in one]
    users = [one["title"] for one in procedures if any(step.get("use") == name for step in one["steps"])]
    assert users
    assert (first.what, first.at) == ("used-by", name)
    assert all(title in first.after for title in users)
    assert (second.what, second.after) == ("becomes", "Because.")


def test_files_that_are_new_or_gone_and_comments() -> None:
    without = {place: one for place, one in SHIPPED.items() if place not in (COMPACT, CAMERA)}
    for before, after, state in ((without, SHIPPED, "new"), (SHIPPED, without, "gone")):
        procedure, vehicle = changes(before, after, [COMPACT, CAMERA])
        assert {procedure.state, vehicle.state} == {state}
        assert (procedure.title, vehicle.title) == (SHIPPED[CAMERA]["title"], "Kestovar Compact")
        assert len(procedure.notes) == len(SHIPPED[CAMERA]["steps"])
        assert [one.at for one in vehicle.notes] == list(SHIPPED[COMPACT]["specs"])
    (layout,) = changes(SHIPPED, SHIPPED, [CAMERA])
    assert layout.notes == (Note("layout"),)


def test_figures_in_one_line() -> None:
    assert in_short({"low": "300 lx", "high": "1500 lx"}, "in") == "300 … 1500 lx"
    assert in_short({"low": "2 mm"}) == "≥ 2 mm"
    assert in_short({"nominal": "spec.distance", "tolerance": "2 mm"}, "in") == "spec.distance ± 2 mm"
    assert in_unit("Roll it 2 mm back", "in") == "Roll it 2 mm back"
    assert not same({"a": 1}, {"a": True})
    assert list(leaves({"a": 1}, {"a": 1})) == []


def places(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for name, one in inner:
        yield (*way, name)
        yield from places(one, (*way, name))


def edited(document: Any, choose: random.Random) -> Any:
    """The document with one thing in it otherwise: another text, one that is gone, a new one, or another order."""
    made = copy.deepcopy(document)
    way = choose.choice(list(places(made)))
    inside = made
    for name in way[:-1]:
        inside = inside[name]
    what = choose.choice(("other", "gone", "new", "order"))
    if what == "gone":
        del inside[way[-1]]
    elif what == "order" and isinstance(inside[way[-1]], list):
        inside[way[-1]].reverse()
    elif what == "new" and isinstance(inside, list):
        inside.insert(way[-1], copy.deepcopy(choose.choice(inside)))
    elif what == "new":
        inside["wonder"] = choose.choice(["text", 1, True, [], {}, ["a"], [{"do": "this"}], {"low": "2 mm"}])
    else:
        inside[way[-1]] = choose.choice([f"other {choose.random()}", 17, False, None, [], {}, ["a", "b"]])
    return made


@pytest.mark.parametrize("seed", range(60))
def test_whatever_is_edited_every_file_that_differs_is_mentioned_with_what_differs(seed: int) -> None:
    choose = random.Random(seed)
    chosen = choose.sample(sorted(SHIPPED), 8)
    after = {**SHIPPED, **{place: edited(SHIPPED[place], choose) for place in chosen}}
    if seed % 3 == 0:
        after.pop(choose.choice([one for one in chosen if one != "shared/catalogue.yaml"]))
    found = changes(SHIPPED, after, chosen)
    assert {one.place for one in found} == set(chosen)
    for one in found:
        assert one.notes, one
        if one.state == "changed" and not same(SHIPPED[one.place], after[one.place]):
            assert one.notes != (Note("layout"),), one.place


@pytest.mark.parametrize("seed", range(40))
def test_a_text_that_was_changed_is_shown_as_it_was_and_as_it_will_be(seed: int) -> None:
    choose = random.Random(seed)
    place = choose.choice(sorted(SHIPPED))
    made = copy.deepcopy(SHIPPED[place])
    texts = [way for way in places(made) if isinstance(_at(made, way), str)]
    way = choose.choice(texts)
    was = _at(made, way)
    _at(made, way[:-1])[way[-1]] = "otherwise than before"
    (one,) = changes(SHIPPED, {**SHIPPED, place: made}, [place])
    if way[0] == "steps" and way[2:] == ("id",):
        assert {"step-new", "step-gone"} <= {note.what for note in one.notes}
        return
    said = " ".join(f"{note.at} {note.before} {note.after} {[part.name for part in note.way]}" for note in one.notes)
    assert "otherwise than before" in said or "otherwise than" in said, (way, said)
    assert was in said or was.rpartition(" ")[0] in said, (way, was, said)


def _at(value: Any, way: tuple[Any, ...]) -> Any:
    for name in way:
        value = value[name]
    return value
