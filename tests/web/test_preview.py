"""A procedure shown while its files are written: its steps as the phone has them, renewed, with lint's findings."""

import shutil
from pathlib import Path

import pytest

from tests.library.mistakes import GOOD
from webapp.core.errors import BadInput
from webapp.core.procedure import Library
from webapp.paths import PROCEDURES
from webapp.web.preview import make_preview
from webapp.web.preview.showing import look


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(GOOD, tmp_path / "library")
    return tmp_path / "library"


def saved(path: Path, old: str, new: str) -> None:
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def seen_in(page: str) -> str:
    return page.partition("/?seen=")[2].partition("&")[0].partition('"')[0]


def test_every_procedure_that_ships_is_shown_with_all_its_steps(library: Library) -> None:
    for name, procedure in library.procedures.items():
        shown = look(PROCEDURES, name, None, None)
        assert (shown.findings, shown.old, len(shown.steps)) == ((), False, len(procedure.steps))
        for step, one in zip(procedure.steps, shown.steps, strict=True):
            assert f'data-step="{name}/{step.id}"' in one.html
            assert one.short == step.short


def test_steps_that_hang_on_the_plan_are_shown_and_say_on_what() -> None:
    page = make_preview(PROCEDURES, "bay-ready").test_client().get("/").text
    swept, unswept = (page.partition(f'data-step="bay-ready/{name}"')[2] for name in ("sweep", "sweep-floor"))
    assert "Only in jobs with one of these: Reference axis." in swept.partition("</section>")[0]
    assert "Only in jobs without these: Reference axis." in unswept.partition("</section>")[0]


def test_targets_are_brought_home_from_all_that_the_vehicle_s_calibrations_place(library: Library) -> None:
    shown = look(PROCEDURES, "clear-away", None, None)
    (home,) = [one.html for one in shown.steps if 'data-step="clear-away/targets-home"' in one.html]
    specs = library.vehicles[shown.vehicle or ""].specs.values()
    targets = {one.target for spec in specs for one in spec.placements}
    catalogue = library.catalogue
    assert len(targets) > 3
    assert all(catalogue.spots[catalogue.targets[one].home].name in home for one in targets)


def test_a_saved_file_renews_the_page_and_an_unchanged_one_does_not(folder: Path) -> None:
    client = make_preview(folder, "forward-camera").test_client()
    page = client.get("/").text
    assert "Read the light at the board." in page
    assert 'href="/?vehicle=' not in page.partition("<article")[0]  # one vehicle has it: nothing to choose
    again = f"/?seen={seen_in(page)}&vehicle=alder-van"
    assert client.get(again).status_code == 204
    saved(folder / "forward-camera.yaml", "Read the light at the board.", "Read how light the board is.")
    renewed = client.get(again, headers={"HX-Request": "true"})
    assert renewed.status_code == 200
    assert renewed.text.startswith("<main")
    assert "Read how light the board is." in renewed.text


def test_findings_stand_on_top_and_the_last_good_steps_below(folder: Path) -> None:
    client = make_preview(folder, "forward-camera").test_client()
    client.get("/")
    saved(folder / "forward-camera.yaml", "    kind: result", "    kind: resalt")
    saved(folder / "steering-zero.yaml", "    kind: countersign", "    kind: sign")
    page = client.get("/?vehicle=alder-van").text
    line = (folder / "forward-camera.yaml").read_text().partition("kind: resalt")[0].count("\n") + 1
    assert (
        f"<b>forward-camera.yaml:{line}</b> steps.outcome.kind: &#39;resalt&#39; is unknown, expected result?" in page
    )
    assert "One finding in another file." in page
    assert page.index("resalt") < page.index("<article")
    assert page.count("<article") == 7
    assert "below is the last that could" in page


def test_what_is_only_untidy_is_shown_as_it_is(folder: Path) -> None:
    saved(folder / "forward-camera.yaml", "do: Read the light at the board.", f"do: Read {'on ' * 30}.")
    page = make_preview(folder, "forward-camera").test_client().get("/").text
    assert "32 words, expected 25 at most" in page
    assert "last that could" not in page
    assert "on on on" in page


def test_a_tap_in_the_preview_does_nothing(folder: Path) -> None:
    client = make_preview(folder, "steering-zero").test_client()
    assert client.post("/jobs/preview", data={"do": "confirm"}).status_code == 204


def test_a_procedure_that_is_not_there_is_named_with_the_nearest(folder: Path) -> None:
    with pytest.raises(BadInput, match=r"procedure='forward-camra' is not in library, expected forward-camera\?"):
        make_preview(folder, "forward-camra")
