"""A step's drawing as the job stands: what is placed is drawn as there, what comes next as here and now."""

import re
from typing import Any

from webapp.core.procedure import Library
from webapp.core.state import StepState, replace
from webapp.core.view.drawings import drawing_view
from webapp.library.tongues import tongues
from webapp.messages import say
from webapp.paths import PROCEDURES

from ..drawings import shipped_sheet


def looks(svg: str) -> dict[str, str]:
    """By the spot how its target is marked."""
    return dict(re.findall('data-spot="([^"]+)"(?: class="([a-z]+)")?', svg))


def hang(sheet: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in sheet["steps"] if one["id"] == "forward-camera-static/hang-boards")
    return found


def shown(sheet: dict[str, Any], was: StepState) -> dict[str, Any]:
    made = drawing_view(sheet, hang(sheet), was, say)
    assert made is not None
    return made


def test_nothing_placed_yet_the_first_target_comes_next(library: Library) -> None:
    made = shown(shipped_sheet(library, "orvane-wagon"), StepState())
    assert looks(made["svg"]) == {"stand-left-arm": "next", "stand-right-arm": ""}
    assert made["says"] == ["Next, in orange: Stand, left arm."]


def test_what_is_placed_is_solid_and_the_other_comes_next(library: Library) -> None:
    was = replace(StepState(), placed=({"pair": 1},))
    made = shown(shipped_sheet(library, "orvane-wagon"), was)
    assert looks(made["svg"]) == {"stand-left-arm": "next", "stand-right-arm": "there"}
    assert made["says"] == ["Drawn solid, placed: Stand, right arm.", "Next, in orange: Stand, left arm."]


def test_with_all_placed_nothing_comes_next(library: Library) -> None:
    was = replace(StepState(), placed=({"pair": 1}, {"pair": 0}))
    made = shown(shipped_sheet(library, "orvane-wagon"), was)
    assert set(looks(made["svg"]).values()) == {"there"}
    assert made["says"] == ["Drawn solid, placed: Stand, left arm; Stand, right arm."]


def test_where_boards_are_hung_their_stand_is_there_already(library: Library) -> None:
    sheet = shipped_sheet(library, "orvane-wagon")
    before = next(one for one in sheet["steps"] if one["id"] == "forward-camera-static/stand-in")
    assert 'class="goes"' in before["drawing"]["svg"]
    assert 'class="heavy"' in hang(sheet)["drawing"]["svg"]
    assert 'class="goes"' not in hang(sheet)["drawing"]["svg"]


def test_in_another_language_the_spots_have_their_names_in_it(library: Library) -> None:
    spanish = tongues(PROCEDURES)["es"]
    sheet = spanish.wording.within(shipped_sheet(library, "orvane-wagon"))
    made = drawing_view(sheet, hang(sheet), StepState(), spanish.say)
    assert made is not None
    assert made["says"] == ["Ahora, en naranja: Soporte, brazo izquierdo."]
