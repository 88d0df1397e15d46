"""A clean library loads as frozen values in base units; any other is refused with its first finding."""

import shutil
from pathlib import Path

import pytest
from pydantic import ValidationError

from webapp.core.errors import BadInput
from webapp.library.load import load
from webapp.paths import PROCEDURES

from .mistakes import GOOD, Mistake, mistakes


def test_the_good_library_loads_with_every_name() -> None:
    library = load(GOOD)
    shared = ["bay-ready", "clearing-away", "floor", "morning"]
    assert list(library.procedures) == ["forward-camera", *shared, "steering-zero"]
    assert list(library.vehicles) == ["alder-van", "birch-car"]
    assert set(library.catalogue.spots) == {"bay", "arm", "centre", "rack"}


def test_quantities_arrive_in_base_units_and_keep_what_the_file_said() -> None:
    library = load(GOOD)
    area = library.procedures["forward-camera"].area
    assert area is not None
    assert (area.ahead.value, area.ahead.unit, area.ahead.text) == (4500.0, "mm", "4.5 m")
    assert library.catalogue.targets["panel"].size["height"].value == 450.0
    assert library.procedures["forward-camera"].steps[0].expect.value == 120.0


def test_a_fragment_s_steps_stand_where_it_is_used_with_the_conditions_joined() -> None:
    procedure = load(GOOD).procedures["forward-camera"]
    assert [step.id for step in procedure.steps][-2:] == ["outcome", "bar-gap"]
    assert procedure.steps[-1].only_if == {"driven-axles": "front"}
    assert procedure.steps[-1].short == "Measure mark to bar."


def test_a_fragment_used_under_another_name_has_its_own_ids_ways_back_figures_and_spots(tmp_path: Path) -> None:
    library = tmp_path / "library"
    shutil.copytree(GOOD, library)
    with (library / "forward-camera.yaml").open("a") as opened:
        opened.write("  - {use: bar-check, as: far, figures: {gap: far-gap}, spots: [arm]}\n")
    van = library / "vehicles" / "alder-van.yaml"
    van.write_text(van.read_text().replace("      gap:", "      far-gap: {high: 9 mm}\n      gap:"))
    near, far = load(library).procedures["forward-camera"].steps[-2:]
    assert (far.id, far.causes[2].redo, far.spots) == ("far-bar-gap", "far-bar-gap", ["arm"])
    taken = [one.measure.readings[0].limits for one in (near, far) if one.measure]
    assert taken == ["spec.gap", "spec.far-gap"]
    assert near.causes[2].redo == "bar-gap"


def test_what_is_loaded_cannot_be_changed() -> None:
    library = load(GOOD)
    with pytest.raises(ValidationError, match="frozen"):
        library.procedures["floor"].title = "Another"  # type: ignore[misc]
    with pytest.raises(ValidationError, match="frozen"):
        library.catalogue = None  # type: ignore[assignment, misc]


@pytest.mark.parametrize("mistake", mistakes()[::6], ids=lambda one: one.title)
def test_a_library_with_a_mistake_is_refused_with_its_first_finding(mistake: Mistake, tmp_path: Path) -> None:
    first = mistake.make(tmp_path / "library")[0]
    with pytest.raises(BadInput) as refused:
        load(tmp_path / "library")
    assert refused.value.code == "library"
    assert refused.value.message.startswith(first)


def test_a_folder_without_a_library_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match=r"shared/catalogue\.yaml:1: cannot be opened"):
        load(tmp_path / "nowhere")


def test_the_library_we_ship_has_every_sort_and_two_vehicles_or_more_for_every_calibration() -> None:
    library = load(PROCEDURES)
    calibrations = {name for name, one in library.procedures.items() if one.sort == "calibration"}
    assert {one.sort for one in library.procedures.values()} == {"day", "set-up", "calibration", "closing"}
    assert len(library.vehicles) >= 8
    assert len({one.maker for one in library.vehicles.values()}) >= 4
    serving = {name: [one for one in library.vehicles.values() if name in one.specs] for name in calibrations}
    assert [name for name, vehicles in serving.items() if len(vehicles) < 2] == []
