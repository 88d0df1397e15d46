"""A shop's own vehicle is checked as the library's files are, told by its fields, and written as such a file."""

from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.library.own import Fault, faults, shipped
from webapp.library.read import parsed
from webapp.library.written import as_yaml
from webapp.paths import PROCEDURES

LIBRARY = shipped(PROCEDURES)
WAGON: dict[str, Any] = LIBRARY.vehicles["orvane-wagon"].plain()


def changed(*path: str, to: Any) -> dict[str, Any]:
    made = deepcopy(WAGON)
    at = made
    for part in path[:-1]:
        at = at[part]
    at[path[-1]] = to
    return made


@pytest.mark.parametrize("name", sorted(LIBRARY.vehicles))
def test_what_ships_has_no_faults_and_reads_back_from_its_own_file(name: str) -> None:
    document = LIBRARY.vehicles[name].plain()
    assert faults(LIBRARY, document) == []
    assert parsed("x", as_yaml(document).encode()).root.plain() == document


def test_a_fault_leads_to_its_field_and_says_whether_something_is_there() -> None:
    camera = ("specs", "forward-camera-static")
    yaw = (*camera, "figures", "yaw")
    assert faults(LIBRARY, changed(*yaw, "tolerance", to="0 deg")) == [
        Fault((*yaw, "tolerance"), "tolerance 0 deg, expected more than 0", given=True)
    ]
    assert faults(LIBRARY, changed(*camera, "source", to="")) == [
        Fault((*camera, "source"), "nothing stands here, expected some text", given=False)
    ]
    assert faults(LIBRARY, changed("vin", to=[])) == [
        Fault(("vin",), "no VIN pattern, expected one or more", given=False)
    ]
    lamp = changed("specs", to={**WAGON["specs"], "moon-lamp": WAGON["specs"]["surround-view"]})
    [unknown] = faults(LIBRARY, lamp)
    assert unknown.message.startswith("unknown calibration procedure 'moon-lamp'")


def test_a_vehicle_stands_in_place_of_the_one_of_its_name_and_beside_the_shops_others() -> None:
    other = WAGON | {"vehicle": "other-car"}
    [met] = faults(LIBRARY, other)
    assert met.path == ("vin", 0)
    assert "(vehicles/orvane-wagon.yaml:" in met.message
    apart = other | {"vin": ["0ZZZZ*"]}
    assert faults(LIBRARY, apart) == []
    twin = apart | {"vehicle": "twin-car"}
    assert ["0ZZZZ" in one.message for one in faults(LIBRARY, twin, [apart])] == [True]


def test_a_question_called_like_a_procedures_own_answer_is_refused() -> None:
    own = {"name": "placing", "ask": "How?", "options": [{"value": "a", "label": "A"}, {"value": "b", "label": "B"}]}
    found = faults(LIBRARY, changed("qualifiers", to=[*WAGON["qualifiers"], own]))
    assert found
    assert {one.path for one in found} == {("qualifiers",)}
    assert all("is a qualifier of a vehicle, expected another name" in one.message for one in found)


TEXTS = st.text(st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"]), max_size=30)


@given(st.dictionaries(TEXTS.filter(bool), TEXTS | st.integers(0, 999) | st.lists(TEXTS, max_size=3), min_size=1))
def test_whatever_is_written_reads_back(document: dict[str, Any]) -> None:
    read = parsed("x", as_yaml(document).encode())
    assert read.findings == ()
    assert read.root.plain() == document
