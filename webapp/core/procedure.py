"""The schema of the files in procedures/: what may stand there, and what each field means.

The models are the schema; `baybook lint --schema` prints them as JSON Schema. Keys are kebab-case in the files.
Figures may stand in a procedure (`1200 mm`) or be taken from the vehicle's spec (`spec`, or `spec.NAME` for a figure of
another name).
"""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Discriminator, Field, StringConstraints, Tag, WithJsonSchema

from .lengths import MM, Unit
from .quantity import Quantity
from .written import Angle, Condition, Duration, Figure, FromSpec, Length, Name, Size, Strict, Text, word_or_rest

KINDS = ("confirm", "choose", "scan", "measure", "photo", "wait", "countersign", "result")

REASONS = (
    "windscreen-replaced",
    "camera-replaced",
    "radar-replaced",
    "lidar-replaced",
    "mirror-replaced",
    "bumper-refitted",
    "parking-sensor-replaced",
    "headlamp-replaced",
    "wheel-alignment-adjusted",
    "steering-repaired",
    "ride-height-changed",
    "height-sensor-replaced",
    "collision-repair",
    "airbag-deployed",
    "control-unit-replaced",
    "battery-disconnected",
    "trouble-code-stored",
    "wheel-size-changed",
)

# An unknown one is a finding of lint, which names the nearest.
Reason = Annotated[str, WithJsonSchema({"enum": list(REASONS)})]


class Caution(Strict):
    """A safety note as ISO 7010 / ANSI Z535 practice has it: signal word, hazard, what to do."""

    signal: Literal["DANGER", "WARNING", "CAUTION"]
    """The signal word: how bad it can get."""
    hazard: Text
    """What can happen, as a sentence."""
    do: Text
    """What to do about it, as a sentence or two."""


class TargetKind(Strict):
    """A kind of target or tool that is placed, and the spot where it lives when it is not in use."""

    name: Text
    """What people call it, as pages show it."""
    home: Name
    """The spot where it lives."""
    size: dict[Literal["width", "height"], Size] = Field(default_factory=dict)
    """Width across the vehicle and height (of what lies on the floor: length), for the drawings."""


class SpotKind(Strict):
    name: Text
    """What people call it, as pages show it."""
    where: Literal["stand", "floor", "rack", "vehicle"]
    """What the spot is part of."""


class Catalogue(Strict):
    """procedures/shared/catalogue.yaml: what the other files refer to by name."""

    cautions: dict[Name, Caution]
    """Safety notes, by the name that steps call them by."""
    targets: dict[Name, TargetKind]
    """What is placed or read, by name."""
    spots: dict[Name, SpotKind]
    """Where it belongs, by name."""


class Option(Strict):
    value: Name
    """What conditions and records call it."""
    label: Text
    """What the button says."""
    blocks: Text | None = None
    """Choosing it is kept, but the step stays open and says this: what must be put right first."""


class Pair(Strict):
    """A target that belongs in a spot.

    With one of them alone, that label is simply read (a bay: spot `bay`; the day's test label: target `test-label`).
    """

    target: Name | None = None
    """The target to scan."""
    spot: Name | None = None
    """The spot to scan."""


class Limits(Strict):
    """`low`/`high`, or a `nominal` with a symmetric `tolerance`.

    In place of all four, `spec` takes them from the spec's figure of that name.
    """

    low: Figure | None = None
    """Nothing below this."""
    high: Figure | None = None
    """Nothing above this."""
    nominal: Figure | None = None
    """The figure to aim for."""
    tolerance: Figure | None = None
    """How far from `nominal` is still good, either way."""


LimitsOrSpec = Annotated[
    Annotated[FromSpec, Tag("<word>")] | Annotated[Limits, Tag("<rest>")], Discriminator(word_or_rest)
]


class Reading(Strict):
    """One quantity read in a `values` measurement."""

    name: Name
    """What comparisons and records call it."""
    label: Text
    """What stands beside the field."""
    unit: Text
    """The unit that it is typed in: mm, deg, kPa, mm/m, lx, V, degC, kg, %, km, km/h or s."""
    limits: LimitsOrSpec | None = None
    """What it is held against; without them it is only recorded."""
    instrument: (
        Literal["tape", "scale", "plumb-bob", "inclinometer", "distance-meter", "tyre-gauge", "light-meter"] | None
    ) = None
    """What it is read with, which says how sure it is: by the figures of the shop's own, where its kit has one."""
    u: Quantity | None = None
    """Its standard uncertainty where the shop states none; without it the usual figures of the instrument count."""
    between_hubs: Literal["front", "rear"] | None = None
    """The distance between the two front or the two rear hub marks: squaring a stand to them then counts with it."""
    above: Name | None = None
    """A height read up from the floor: the spot whose floor it is, so that the floor's fall to there is allowed for.

    `stand` is the middle of all that the calibration places.
    """


class Compare(Strict):
    """The difference of two readings, first minus second, against limits."""

    label: Text
    """What stands beside the difference."""
    of: Annotated[list[Name], Field(min_length=2, max_length=2)]
    """The two readings."""
    limits: LimitsOrSpec
    """What the difference is held against; `spec` means the figure of the first reading's name."""


class Point(Strict):
    name: Name
    """What records call the point."""
    label: Text
    """What stands beside the field."""
    x: Length
    """Forward of the front reference points."""
    y: Length
    """To the left of the centreline."""


class Measure(Strict):
    """What is measured and what it is held against.

    values: `readings` (and `compare`). floor: `points`, limits along, across, residual. square: track and bar, limits
    distance, offset, yaw. axis: the four reference points and the toe readings, limits thrust.
    """

    method: Literal["values", "floor", "square", "axis"]
    """Which sum is done with the readings."""
    readings: list[Reading] = Field(default_factory=list)
    """values: what is read, in order."""
    compare: list[Compare] = Field(default_factory=list)
    """values: pairs of readings that have to agree."""
    points: list[Point] = Field(default_factory=list)
    """floor: where the height is read."""
    contacts: bool = False
    """floor: read the height beside each tyre too, so that heights can be counted from the plane the tyres stand on."""
    track: Figure | None = None
    """square: between the two hub marks that the tapes start from."""
    bar: Figure | None = None
    """square: between the two marks on the stand, mat or plate."""
    hubs: Literal["front", "rear"] = "front"
    """square: the hub marks that the tapes start from; the rear ones for what stands behind the vehicle."""
    u: Size | None = None
    """floor, square, axis: the standard uncertainty of one reading; 1 mm where nothing is said."""
    limits: dict[Name, LimitsOrSpec] = Field(default_factory=dict)
    """floor, square, axis: what the outcome is held against, by the name of each figure."""


class Cause(Strict):
    """A known cause of trouble at a step, how to check it, and the step to go back to (`step` or `procedure/step`).

    A step's causes stand in the order in which they are checked: the likeliest first, of those alike the quickest.
    """

    cause: Text
    """What may be wrong."""
    likely: Literal["often", "sometimes", "seldom"] | None = None
    """How often this is what it was."""
    check: Text
    """How to find out, as an instruction."""
    takes: Duration | None = None
    """What the check costs."""
    redo: str | None = None
    """The step to go back to where this was the cause."""


class Step(Strict):
    """One thing to do."""

    id: Name
    """The step's name within its procedure; events and records keep it, so it is not changed lightly."""
    do: Text
    """What to do, imperative, in 25 words at most."""
    short: Text | None = None
    """The same instruction for the experienced, in 12 words at most."""
    why: Text
    """The reason, for whoever asks."""
    mistakes: list[Text] = Field(default_factory=list)
    """What others did wrong here."""
    caution: list[Name] = Field(default_factory=list)
    """Names of the catalogue's cautions, shown with the step."""
    only_if: Condition = Field(default_factory=dict)
    """The answers with which the step stands; all have to hold."""
    when: list[Name] = Field(default_factory=list)
    """Procedures of which one at least has to be part of the job for the step to stand; any job where none is said."""
    unless: list[Name] = Field(default_factory=list)
    """Procedures with any of which in the job the step does not stand."""
    kind: Literal["confirm", "choose", "scan", "measure", "photo", "wait", "countersign", "result"]
    """What ends the step."""
    button: Text | None = None
    """What the main action says was done: 'Chocked', 'Check the four'. Every confirm step has its own."""
    asks: Name | None = None
    """choose: what the answer is called in conditions; the step's id where nothing is said."""
    options: list[Option] = Field(default_factory=list)
    """choose: the answers; the first is the usual one."""
    pairs: Annotated[
        Annotated[Literal["spec", "homes"], Tag("<word>")] | Annotated[list[Pair], Tag("<rest>")],
        Discriminator(word_or_rest),
    ] = Field(default_factory=list)
    """scan: what belongs where. spec: the spec's placements; homes: all that this job placed, back home."""
    spots: list[Name] = Field(default_factory=list)
    """Spots of the spec's placements that this step is about, for its scan and its drawing; all where none is said."""
    measure: Measure | None = None
    """measure: what is read and what it is held against."""
    photo: Text | None = None
    """photo: what the picture has to show."""
    wait: Duration | None = None
    """wait: how long."""
    hold: Literal["everyone", "apprentice", "none"] = "none"
    """Whose work a supervisor countersigns before the job goes on."""
    expect: Duration
    """How long it usually takes, until the shop's own times are known."""
    drawing: Literal["stand", "reflector", "patterns", "floor", "axis", "area", "chocks", "heights"] | None = None
    """Which view to show, drawn from the vehicle's figures: from above, and heights from the side."""
    causes: list[Cause] = Field(default_factory=list)
    """What 'something is wrong' leads to at this step."""


class Use(Strict):
    """Stands for the steps of a shared fragment, in a procedure's list of steps."""

    use: Name
    """The fragment, by its name in shared/fragments.yaml."""
    as_: Name | None = None
    """Put before the id of each of its steps, where a fragment is used twice: `left` makes `left-square`."""
    only_if: Condition = Field(default_factory=dict)
    """Joined to the conditions of each of its steps."""
    spots: list[Name] = Field(default_factory=list)
    """The spots that its scans and drawings are about."""
    figures: dict[Name, Name] = Field(default_factory=dict)
    """Other names for the figures that it takes from the spec: `{offset: left-offset}`."""


def _step_or_use(given: Any) -> str:
    return "<use>" if isinstance(given, dict) and "use" in given else "<step>"


StepOrUse = Annotated[Annotated[Step, Tag("<step>")] | Annotated[Use, Tag("<use>")], Discriminator(_step_or_use)]


class Fragment(Strict):
    """Steps that several procedures have in common, written once."""

    steps: Annotated[list[Step], Field(min_length=1)]
    """What is done, in order. Figures of the vehicle are taken by name, as `spec.NAME`."""


class Fragments(Strict):
    """procedures/shared/fragments.yaml: steps that procedures take in with `use`."""

    fragments: dict[Name, Fragment]
    """By the name that `use` calls them by."""


class Area(Strict):
    """The clear floor a calibration needs, from the vehicle's own outline."""

    ahead: Size
    """In front of the vehicle."""
    behind: Size
    """Behind it."""
    each_side: Size
    """To its left and to its right."""


class _Procedure(Strict):
    procedure: Name
    """The file's name."""
    title: Text
    """What people call it."""
    revision: Annotated[int, Field(ge=1)]
    """Goes up with every change that somebody who works by it has to know."""
    sort: Literal["calibration", "set-up", "closing", "day"]
    """calibration: due by repair reasons. set-up: once a job. closing: at its end. day: the day's equipment check."""
    sensor: Name | None = None
    """calibration: the sensor it is about."""
    mode: Literal["static", "dynamic", "reset", "check"] | None = None
    """calibration: static in the bay, dynamic on the road, reset of a stored value, or a check only."""
    due_when: list[Reason] = Field(default_factory=list)
    """calibration: the repair reasons that call for it."""
    after: list[Name] = Field(default_factory=list)
    """What comes before it, if both are in the job: of its own sort, for a set-up also a calibration (a reset that
    moves the vehicle), for a calibration also a closing (the floor is cleared before a drive)."""
    set_up: list[Name] = Field(default_factory=list)
    """calibration: the set-up procedures that it stands on, done once for all calibrations of a job."""
    area: Area | None = None
    """calibration: the clear floor it needs."""
    needs: dict[Name, Text] = Field(default_factory=dict)
    """Figures that a vehicle's spec must give before this procedure can be planned, with their unit."""


class Procedure(_Procedure):
    """A procedure as it is worked with, its fragments taken in."""

    steps: Annotated[list[Step], Field(min_length=1)]
    """What is done, in order."""


class ProcedureFile(_Procedure):
    """A procedure as its file has it."""

    model_config = ConfigDict(title="Procedure")

    steps: Annotated[list[StepOrUse], Field(min_length=1)]
    """What is done, in order; `use` puts a shared fragment's steps in its place."""


class SpecFigure(Strict):
    """One figure of a spec: a nominal with its tolerance, or limits, or a bare value.

    Where it comes from another source than the spec, or counts from something else, it says so itself.
    """

    value: Quantity | None = None
    """A bare figure."""
    nominal: Quantity | None = None
    """The figure to aim for."""
    tolerance: Quantity | None = None
    """How far from `nominal` is still good, either way."""
    low: Quantity | None = None
    """Nothing below this."""
    high: Quantity | None = None
    """Nothing above this."""
    reference: Literal["centreline", "thrust-line", "bumper", "hub", "emblem"] | None = None
    """What it counts from or lies along: the spec's own line where nothing is said."""
    source: Text | None = None
    """Where it comes from, if not from the spec's source."""
    revision: Annotated[int, Field(ge=1)] | None = None
    """Of that other source; goes up with every change of the figure."""


class Placement(Strict):
    """Where a target stands, and the height of its centre.

    Vehicle axes: x forward, y left; origin on the floor midway between the front reference points.
    """

    target: Name
    """What stands there."""
    spot: Name
    """Which spot it hangs or lies in."""
    x: Length
    """Forward of the front reference points."""
    y: Length
    """To the left of the centreline."""
    height: Size | None = None
    """Of its centre above the plane of the tyre contacts; none where it lies on the floor."""
    yaw: Angle | None = None
    """Turned to the left, seen from above."""


class Spec(Strict):
    """The figures of one vehicle for one procedure."""

    source: Text
    """Where the figures come from, as the record cites it."""
    revision: Annotated[int, Field(ge=1)]
    """Goes up with every change of a figure."""
    reference: Literal["centreline", "thrust-line"] = "centreline"
    """The line that the sensor is aimed along, as the maker states."""
    figures: dict[Name, SpecFigure] = Field(default_factory=dict)
    """By the name that the procedure asks for."""
    placements: list[Placement] = Field(default_factory=list)
    """Where the targets stand."""


class Outline(Strict):
    """The vehicle from above."""

    length: Size
    """Overall."""
    width: Size
    """Overall, without mirrors."""
    wheelbase: Size
    """Between the axles."""
    front_overhang: Size
    """From the front axle to the foremost point."""
    track_front: Size
    """Between the front wheels' centres."""
    track_rear: Size
    """Between the rear wheels' centres."""


class Qualifier(Strict):
    """A question about this very vehicle whose answer changes the steps."""

    name: Name
    """What conditions call it."""
    ask: Text
    """The question, as the new-job page puts it."""
    options: Annotated[list[Option], Field(min_length=2)]
    """The answers."""


class Variant(Strict):
    """Figures that replace the vehicle's own of the same name where a qualifier's answer says so (larger wheels,
    other tyre pressures).
    """

    only_if: Annotated[Condition, Field(min_length=1)]
    """The answers with which these figures hold; all have to."""
    figures: Annotated[dict[Name, SpecFigure], Field(min_length=1)]
    """In place of the vehicle's own of the same name."""


class Vehicle(Strict):
    vehicle: Name
    """The file's name."""
    maker: Text
    """Who makes it."""
    model: Text
    """What it is called."""
    years: Annotated[str, StringConstraints(pattern=r"^\d{4}-(\d{4})?$")]
    """Model years, the last one open where it is still made."""
    vin: list[Text]
    """Patterns of its VINs: 17 characters with ? for any one, or a beginning and *."""
    revision: Annotated[int, Field(ge=1)]
    """Goes up with every change of a figure."""
    outline: Outline
    """Its size, for the drawings and the area."""
    qualifiers: list[Qualifier] = Field(default_factory=list)
    """What has to be known of the very vehicle."""
    source: Text
    """Where its own figures come from, as the record cites it."""
    figures: dict[Name, SpecFigure] = Field(default_factory=dict)
    """What the shared set-up asks for: tyre pressures, ride heights, marks."""
    variants: list[Variant] = Field(default_factory=list)
    """Other figures, where a qualifier's answer says so."""
    specs: dict[Name, Spec] = Field(default_factory=dict)
    """The figures for each calibration, by its procedure's name."""


class Approval(BaseModel):
    """Who let a shop's own figures be worked with."""

    model_config = ConfigDict(frozen=True)

    revision: int
    """Of the vehicle's figures."""
    by: str
    """The person's name, as the record gives it for good."""
    at: str
    """The instant, as in the journal."""


class Library(BaseModel):
    """All that procedures/ says, by name; with it the vehicles that the shop wrote down itself, once approved."""

    model_config = ConfigDict(frozen=True)

    catalogue: Catalogue
    procedures: dict[str, Procedure]
    vehicles: dict[str, Vehicle]
    approvals: dict[str, Approval] = Field(default_factory=dict)
    """Of the shop's own vehicles."""
    unit: Unit = MM
    """What lengths are shown in: the shop's own setting, and none of procedures/."""
