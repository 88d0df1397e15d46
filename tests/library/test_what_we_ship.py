"""That what we ship can be worked: every way through it, on every vehicle, with readings as they should be."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from functools import cache
from itertools import product
from math import dist
from typing import Any

import pytest
import yaml

from webapp.core.fold import applies
from webapp.core.freeze import make_sheet
from webapp.core.measure.judged import AXIS_POINTS, judge
from webapp.core.measure.square import FRONT, REAR, Pose, tapes_at
from webapp.core.plan import MODES, Proposal, vehicles_for
from webapp.core.procedure import KINDS, Vehicle
from webapp.core.sheet import Sheet
from webapp.library.checks.words import MOST_SHORT
from webapp.library.load import load
from webapp.paths import PROCEDURES

LIBRARY = load(PROCEDURES)
ALL_THREE = ("forward-camera-static", "forward-radar-static", "surround-view")
FIRST = {"hub-marks": "plumb", "levelling": "laser-level", "placing": "tape"}
OTHER = {
    "hub-marks": "clamps",
    "levelling": "hose-level",
    "placing": "laser",
    "fuel": "low",
    "drive-system": "high-voltage",
    "road-check": "asked",
}
WAYS = {"by-tape": FIRST, "by-laser": OTHER, "by-scales": FIRST | {"placing": "scales"}}


@dataclass(frozen=True)
class Car:
    """A vehicle of the library with an answer to each of its qualifiers."""

    vehicle: str
    qualifiers: tuple[tuple[str, str], ...]

    def __str__(self) -> str:
        return "-".join([self.vehicle, *(value for _name, value in self.qualifiers)])

    @property
    def calibrations(self) -> tuple[str, ...]:
        """Everything that this vehicle has figures for."""
        return tuple(LIBRARY.vehicles[self.vehicle].specs)

    @cache  # noqa: B019 (cars are few and live as long as the tests)
    def sheet(self, *calibrations: str) -> Sheet:
        job = {"id": "J", "sort": "calibration", "qualifiers": dict(self.qualifiers), "bay": None}
        plan = [Proposal(name, ("collision-repair",)) for name in calibrations]
        return make_sheet(LIBRARY, job, LIBRARY.vehicles[self.vehicle], plan, {}, lambda name, **_given: name)


def _cars(vehicle: Vehicle) -> Iterator[Car]:
    names = [one.name for one in vehicle.qualifiers]
    for values in product(*([option.value for option in one.options] for one in vehicle.qualifiers)):
        yield Car(vehicle.vehicle, tuple(zip(names, values, strict=True)))


CARS = [car for vehicle in LIBRARY.vehicles.values() for car in _cars(vehicle)]
WITH_ALL_THREE = next(car for car in CARS if {*ALL_THREE} <= {*car.calibrations})
every_car = pytest.mark.parametrize("car", CARS, ids=str)


def _as_it_should_be(measure: dict[str, Any]) -> dict[str, float]:
    """Readings to the millimetre of a vehicle, a floor and a stand that are just as the figures have them."""
    if measure["method"] == "values":
        return {one["name"]: _within(one["low"], one["high"], one["unit"]) for one in measure["readings"]}
    if measure["method"] == "floor":
        return {one["name"].replace("-", "_"): 0.0 for one in [*measure["points"], *measure["contacts"]]}
    if measure["method"] == "square":
        target = Pose(**measure["target"])
        tapes = tapes_at(measure["track_mm"], measure["bar_mm"], target, measure.get("hubs", FRONT))
        return {name: float(round(reading)) for name, reading in asdict(tapes).items()}
    places = dict(zip(AXIS_POINTS, ((5000, 780), (5000, -780), (2200, 775), (2200, -775)), strict=True))
    marks = {f"{name}_{axis}": float(place[i]) for name, place in places.items() for i, axis in enumerate("xy")}
    return {**marks, "toe_left": 0.1, "toe_right": 0.1}


def _within(low: float | None, high: float | None, unit: str) -> float:
    if low is None:
        return 0.0
    if high is None:
        return min(2 * low, 100.0) if unit == "%" else 2 * low
    return round((low + high) / 2)


@every_car
def test_every_measurement_can_be_met_to_the_millimetre(car: Car) -> None:
    for step in car.sheet(*car.calibrations)["steps"]:
        if step["kind"] == "measure":
            found = judge(step["measure"], [_as_it_should_be(step["measure"])])
            held = any(one["low"] is not None or one["high"] is not None for one in found["parts"])
            assert found["verdict"] == ("inside" if held else "recorded"), (step["id"], found)


@every_car
def test_the_floor_survey_surrounds_every_place_of_a_target(car: Car) -> None:
    sheet = car.sheet(*car.calibrations)
    survey = next(step["measure"] for step in sheet["steps"] if step["id"] == "floor-survey/survey")
    found = judge(survey, [_as_it_should_be(survey)])
    groups = sheet["placements"].values()
    # Each target's place, and the middle of those of one calibration, where a stand's own scale stands.
    assert len(found["spots"]) == sum(len(group) + (len(group) > 1) for group in groups) > 0
    assert all(abs(spot["fall_mm"]) < 1e-9 for spot in found["spots"])


SURVEYED = [
    pytest.param(vehicle, name, id=f"{vehicle.vehicle}-{name}")
    for vehicle in LIBRARY.vehicles.values()
    for name in vehicle.specs
    if "floor-survey" in LIBRARY.procedures[name].set_up
]


@pytest.mark.parametrize(("vehicle", "calibration"), SURVEYED)
def test_the_clear_area_holds_the_floor_survey_too(vehicle: Vehicle, calibration: str) -> None:
    area, outline = LIBRARY.procedures[calibration].area, vehicle.outline
    assert area is not None
    survey = next(step.measure for step in LIBRARY.procedures["floor-survey"].steps if step.id == "survey")
    assert survey is not None
    nose, tail = outline.front_overhang.value, outline.front_overhang.value - outline.length.value
    assert max(point.x.value for point in survey.points) <= nose + area.ahead.value
    assert min(point.x.value for point in survey.points) >= tail - area.behind.value
    assert max(abs(point.y.value) for point in survey.points) <= outline.width.value / 2 + area.each_side.value


@every_car
@pytest.mark.parametrize("answers", WAYS.values(), ids=WAYS)
def test_two_calibrations_are_a_morning_s_taps(car: Car, answers: dict[str, str]) -> None:
    steps = [step for step in car.sheet(*ALL_THREE[:2])["steps"] if applies(step, answers)]
    assert 60 <= len(steps) <= 90
    assert len([step for step in steps if step["hold"] == "everyone" or step["kind"] == "countersign"]) == 2


@pytest.mark.parametrize("answers", WAYS.values(), ids=WAYS)
@pytest.mark.parametrize("calibration", ALL_THREE)
def test_each_way_of_placing_measures_the_place_once(calibration: str, answers: dict[str, str]) -> None:
    poses = {"square", "laser-pose", "scales", "front-square", "front-laser", "front-rail"}
    steps = [step for step in WITH_ALL_THREE.sheet(calibration)["steps"] if step["id"].rpartition("/")[2] in poses]
    assert len(steps) == 3
    assert [step["kind"] for step in steps if applies(step, answers)] == ["measure"]


def test_every_long_instruction_has_a_short_text_and_every_cause_its_odds() -> None:
    steps = [step for procedure in LIBRARY.procedures.values() for step in procedure.steps]
    long = [step for step in steps if len(step.do.split()) > MOST_SHORT]
    assert [step.id for step in long if not step.short] == []
    assert [(step.id, cause.cause) for step in steps for cause in step.causes if not cause.likely] == []


def test_set_up_comes_in_the_order_in_which_it_is_done() -> None:
    sections = [one["id"] for one in WITH_ALL_THREE.sheet(*ALL_THREE)["sections"]]
    set_up = ["vehicle-ready", "bay-ready", "reference-axis", "floor-survey"]
    assert sections == [*set_up, *ALL_THREE, "clear-away", "hand-over"]


@every_car
def test_nothing_that_moves_the_vehicle_comes_between_finding_its_axis_and_aiming_by_it(car: Car) -> None:
    place = {one["id"]: number for number, one in enumerate(car.sheet(*car.calibrations)["sections"])}
    of_mode = {mode: [n for n in car.calibrations if LIBRARY.procedures[n].mode == mode] for mode in MODES}
    assert all(place[name] < place["reference-axis"] for name in of_mode["reset"])
    assert all(place["floor-survey"] < place[name] for name in of_mode["static"])
    last = max(place[name] for name in of_mode["static"])
    assert all(last < place[name] < place["clear-away"] for name in of_mode["check"])
    assert all(place["clear-away"] < place[name] < place["hand-over"] for name in of_mode["dynamic"])


@pytest.mark.parametrize("name", [name for name, one in LIBRARY.procedures.items() if one.mode == "dynamic"])
def test_a_road_drive_is_countersigned_and_warns_at_every_step_that_is_driven(name: str) -> None:
    steps = LIBRARY.procedures[name].steps
    signed = next(number for number, step in enumerate(steps) if step.hold == "everyone")
    driven = [number for number, step in enumerate(steps) if re.match(r"Drive\b|Driving\b|On the way\b", step.do)]
    assert len(driven) >= 3
    assert signed < min(driven)
    assert all({"road", "assistance"} <= set(steps[number].caution) for number in driven)


def test_every_kind_of_step_and_every_way_of_measuring_is_used() -> None:
    steps = [step for procedure in LIBRARY.procedures.values() for step in procedure.steps]
    assert {step.kind for step in steps} == set(KINDS)
    assert {step.measure.method for step in steps if step.measure} == {"values", "floor", "square", "axis"}


def test_every_caution_is_shown_somewhere() -> None:
    steps = [step for procedure in LIBRARY.procedures.values() for step in procedure.steps]
    assert {name for step in steps for name in step.caution} == set(LIBRARY.catalogue.cautions)


TOLD = {"do", "short", "why", "mistakes", "cause", "check", "blocks"}


def _told(part: Any, key: str = "") -> Iterator[str]:
    """All text of a file that a person reads as sentences, each as often as the file has it."""
    if isinstance(part, dict):
        for name, value in part.items():
            yield from _told(value, name)
    elif isinstance(part, list):
        for value in part:
            yield from _told(value, key)
    elif key in TOLD and isinstance(part, str):
        yield from (" ".join(re.findall(r"\w+", one.casefold())) for one in re.split(r"(?<=[.!?;])\s+", part))


def test_no_sentence_of_the_library_stands_in_it_twice() -> None:
    files = [path for path in PROCEDURES.rglob("*.yaml") if path.name != "catalogue.yaml"]
    said = Counter(sentence for path in files for sentence in _told(yaml.safe_load(path.read_bytes())))
    assert len(said) > 500
    assert [sentence for sentence, times in said.items() if times > 1 and len(sentence.split()) > 3] == []


@pytest.mark.parametrize("vehicle", LIBRARY.vehicles.values(), ids=lambda one: one.vehicle)
def test_every_figure_is_invented_and_says_so(vehicle: Vehicle) -> None:
    sources = [vehicle.source, *(spec.source for spec in vehicle.specs.values())]
    assert all(source.startswith("Invented for demonstration: ") for source in sources)
    # No region code begins with a zero, so that no vehicle on the road can match.
    assert all(pattern.startswith("0") for pattern in vehicle.vin)
    assert vehicles_for(LIBRARY, vehicle.vin[0].rstrip("*").ljust(17, "1")) == [vehicle]


QUALIFIERS = [
    pytest.param(vehicle, number, id=f"{vehicle.vehicle}-{one.name}")
    for vehicle in LIBRARY.vehicles.values()
    for number, one in enumerate(vehicle.qualifiers)
]


@pytest.mark.parametrize(("vehicle", "number"), QUALIFIERS)
def test_every_answer_about_a_vehicle_makes_a_difference(vehicle: Vehicle, number: int) -> None:
    """A job's steps, or what its readings are held against, differ from answer to answer."""
    likes: dict[tuple[tuple[str, str], ...], list[Car]] = {}
    for car in (one for one in CARS if one.vehicle == vehicle.vehicle):
        likes.setdefault((*car.qualifiers[:number], *car.qualifiers[number + 1 :]), []).append(car)
    bodies = [[car.sheet(*car.calibrations)["steps"] for car in alike] for alike in likes.values()]
    options = len(vehicle.qualifiers[number].options)
    assert any(all(one not in steps[:place] for place, one in enumerate(steps)) for steps in bodies)
    assert {len(steps) for steps in bodies} == {options}


def _with_spec(name: str) -> list[Vehicle]:
    return [vehicle for vehicle in LIBRARY.vehicles.values() if name in vehicle.specs]


@pytest.mark.parametrize("vehicle", _with_spec("surround-view"), ids=lambda one: one.vehicle)
def test_the_tapes_of_the_patterns_agree_with_where_the_patterns_lie(vehicle: Vehicle) -> None:
    """Rear marks lie on the pattern's middle line, side tapes run to dots at the ends of its inner edge."""
    spec, outline = vehicle.specs["surround-view"], vehicle.outline
    front, rear = outline.track_front.value / 2, outline.track_rear.value / 2
    behind, at = outline.wheelbase.value, {one.target: one for one in spec.placements}
    width, long = (LIBRARY.catalogue.targets["pattern-left"].size[side].value for side in ("width", "height"))
    inner, middle = at["pattern-left"].y.value - width / 2, -at["pattern-left"].x.value
    near, far = (middle - long / 2, inner), (middle + long / 2, inner)
    expected = {
        "rear-distance": -at["pattern-rear"].x.value - behind,
        "side-front": dist((0, front), near),
        "side-rear": dist((behind, rear), far),
        "side-long": dist((0, front), far),
    }
    assert {name: _value(spec.figures[name].nominal) for name in expected} == pytest.approx(expected, abs=0.6)


@pytest.mark.parametrize("vehicle", _with_spec("rear-corner-radar"), ids=lambda one: one.vehicle)
def test_the_rear_reflectors_are_the_two_ends_of_what_is_squared(vehicle: Vehicle) -> None:
    spec, outline = vehicle.specs["rear-corner-radar"], vehicle.outline
    left, right = spec.placements
    assert left.y.value - right.y.value == _value(spec.figures["apart"].nominal)
    assert left.x.value == right.x.value == -outline.wheelbase.value - _value(spec.figures["distance"].nominal)
    assert (left.y.value + right.y.value) / 2 == _value(spec.figures["offset"].nominal)


@pytest.mark.parametrize("vehicle", _with_spec("rear-camera"), ids=lambda one: one.vehicle)
def test_the_rear_board_stands_where_its_feet_are_squared(vehicle: Vehicle) -> None:
    """The crosses lie at the ends of its feet, beneath the board's edges."""
    spec, outline = vehicle.specs["rear-camera"], vehicle.outline
    (board,) = spec.placements
    assert _value(spec.figures["apart"].value) == LIBRARY.catalogue.targets["rear-board"].size["width"].value
    assert board.x.value == -outline.wheelbase.value - _value(spec.figures["distance"].nominal)
    assert board.y.value == _value(spec.figures["offset"].nominal)


def test_what_stands_behind_the_vehicle_is_squared_to_the_rear_hubs() -> None:
    by = {
        f"{name}/{step.id}": (step.measure.hubs, step.measure.track)
        for name, procedure in LIBRARY.procedures.items()
        for step in procedure.steps
        if step.measure and step.measure.method == "square"
    }
    behind = {"rear-camera/board-tapes", "rear-corner-radar/tapes", "surround-view/rear-tapes"}
    assert {name for name, (hubs, _) in by.items() if hubs == REAR} == behind
    assert {track for name, (_, track) in by.items() if name in behind} == {"spec.rear-marks"}
    assert {track for name, (_, track) in by.items() if name not in behind} == {"spec.track"}
    assert all(
        _value(vehicle.figures["rear-marks"].nominal) == vehicle.outline.track_rear.value
        for vehicle in LIBRARY.vehicles.values()
    )


@pytest.mark.parametrize("vehicle", _with_spec("front-corner-radar"), ids=lambda one: one.vehicle)
def test_the_front_reflectors_are_the_two_ends_of_what_is_squared(vehicle: Vehicle) -> None:
    spec = vehicle.specs["front-corner-radar"]
    left, right = spec.placements
    assert left.y.value - right.y.value == _value(spec.figures["apart"].value)
    assert left.x.value == right.x.value == _value(spec.figures["distance"].nominal)
    assert (left.y.value + right.y.value) / 2 == _value(spec.figures["offset"].nominal)


def _value(quantity: Any) -> float:
    return float(quantity.value)


def test_no_photo_is_asked_for_with_a_face_or_a_number_plate_in_it() -> None:
    """What is not needed is not asked for: where such a thing could come into the picture, the text keeps it out."""
    asked, shown = 0, re.compile(r"(?i)\b(faces?|(number|licen[cs]e|registration) plates?|people|person)\b")
    for procedure in LIBRARY.procedures.values():
        for step in procedure.steps:
            if step.kind != "photo":
                continue
            asked += 1
            for text in filter(None, (step.do, step.photo, step.short)):
                for named in shown.finditer(text):
                    before = text[: named.start()].lower().split()[-3:]
                    assert {"no", "without", "nobody's"} & set(before), (procedure.procedure, step.id, text)
    assert asked > 10
