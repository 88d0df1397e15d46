"""The schema of the files in procedures/: what may stand there, and what each field means.

The models are the schema; `baybook lint --schema` prints them as JSON Schema. Keys are kebab-case in the files.
Figures may stand in a procedure (`1200 mm`) or be taken from the vehicle's spec (`spec`, or `spec.NAME` for a figure of
another name).
"""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Discriminator, Field, StringConstraints, Tag, WithJsonSchema

from .quantity import In, Quantity

KINDS = ("confirm", "choose", "scan", "measure", "photo", "wait", "countersign", "result")

REASONS = (
    "windscreen-replaced",
    "camera-replaced",
    "radar-replaced",
    "mirror-replaced",
    "bumper-refitted",
    "wheel-alignment-adjusted",
    "ride-height-changed",
    "collision-repair",
    "airbag-deployed",
    "control-unit-replaced",
    "battery-disconnected",
    "trouble-code-stored",
    "wheel-size-changed",
)

Name = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$")]
Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
# An unknown one is a finding of lint, which names the nearest.
Reason = Annotated[str, WithJsonSchema({"enum": list(REASONS)})]
FromSpec = Annotated[str, StringConstraints(pattern=r"^spec(\.[a-z][a-z0-9]*(-[a-z0-9]+)*)?$")]

Length = Annotated[Quantity, In("mm")]
Size = Annotated[Quantity, In("mm", above=0)]
Angle = Annotated[Quantity, In("deg")]
Duration = Annotated[Quantity, In("s", above=0)]


# Where a field takes two forms, the form is told first, so that a slip gets one message and not one for each form it
# might have had. The angle brackets keep a form's tag apart from the keys in an error's place.
def _word_or_rest(given: Any) -> str:
    return "<word>" if isinstance(given, str) else "<rest>"


def _spec_or_quantity(given: Any) -> str:
    return "<spec>" if isinstance(given, str) and given.startswith("spec") else "<quantity>"


Figure = Annotated[
    Annotated[FromSpec, Tag("<spec>")] | Annotated[Quantity, Tag("<quantity>")], Discriminator(_spec_or_quantity)
]
# Conditions: the name of a qualifier of the vehicle, or of an earlier choose step's `asks`, and the values that let
# the step stand.
Condition = dict[
    Name, Annotated[Annotated[str, Tag("<word>")] | Annotated[list[str], Tag("<rest>")], Discriminator(_word_or_rest)]
]


class Strict(BaseModel):
    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        populate_by_name=False,
        alias_generator=lambda field: field.rstrip("_").replace("_", "-"),
    )


class Caution(Strict):
    """A safety note as ISO 7010 / ANSI Z535 practice has it: signal word, hazard, what to do."""

    signal: Literal["DANGER", "WARNING", "CAUTION"]
    hazard: Text
    do: Text


class TargetKind(Strict):
    """A kind of target or tool that is placed, and the spot where it lives when it is not in use."""

    name: Text
    home: Name
    size: dict[Literal["width", "height"], Size] = Field(default_factory=dict)


class SpotKind(Strict):
    name: Text
    where: Literal["stand", "floor", "rack", "vehicle"]


class Catalogue(Strict):
    """procedures/shared/catalogue.yaml: what the other files refer to by name."""

    cautions: dict[Name, Caution]
    targets: dict[Name, TargetKind]
    spots: dict[Name, SpotKind]


class Option(Strict):
    value: Name
    label: Text
    # Choosing it is kept, but the step stays open and says this: what must be put right first.
    blocks: Text | None = None


class Pair(Strict):
    """A target that belongs in a spot.

    With one of them alone, that label is simply read (a bay: spot `bay`; the day's test label: target `test-label`).
    """

    target: Name | None = None
    spot: Name | None = None


class Limits(Strict):
    """`low`/`high`, or a `nominal` with a symmetric `tolerance`.

    In place of all four, `spec` takes them from the spec's figure of that name.
    """

    low: Figure | None = None
    high: Figure | None = None
    nominal: Figure | None = None
    tolerance: Figure | None = None


LimitsOrSpec = Annotated[
    Annotated[FromSpec, Tag("<word>")] | Annotated[Limits, Tag("<rest>")], Discriminator(_word_or_rest)
]


class Reading(Strict):
    """One quantity read in a `values` measurement."""

    name: Name
    label: Text
    unit: Text
    limits: LimitsOrSpec | None = None
    instrument: Literal["tape", "scale", "plumb-bob", "inclinometer"] | None = None
    # Standard uncertainty where no instrument of the list fits (a tyre gauge, a light meter).
    u: Quantity | None = None


class Compare(Strict):
    """The difference of two readings, first minus second, against limits."""

    label: Text
    of: Annotated[list[Name], Field(min_length=2, max_length=2)]
    limits: LimitsOrSpec


class Point(Strict):
    name: Name
    label: Text
    x: Length
    y: Length


class Measure(Strict):
    """What is measured and what it is held against.

    values: `readings` (and `compare`). floor: `points`, limits along, across, residual. square: track and bar, limits
    distance, offset, yaw. axis: the four reference points and the toe readings, limits thrust.
    """

    method: Literal["values", "floor", "square", "axis"]
    readings: list[Reading] = Field(default_factory=list)
    compare: list[Compare] = Field(default_factory=list)
    points: list[Point] = Field(default_factory=list)
    track: Figure | None = None
    bar: Figure | None = None
    u: Size | None = None
    limits: dict[Name, LimitsOrSpec] = Field(default_factory=dict)


class Cause(Strict):
    """A known cause of trouble at a step, how to check it, and the step to go back to (`step` or `procedure/step`)."""

    cause: Text
    check: Text
    redo: str | None = None


class Step(Strict):
    """One thing to do."""

    id: Name
    do: Text
    why: Text
    mistakes: list[Text] = Field(default_factory=list)
    caution: list[Name] = Field(default_factory=list)
    only_if: Condition = Field(default_factory=dict)
    kind: Literal["confirm", "choose", "scan", "measure", "photo", "wait", "countersign", "result"]
    # What the main action says was done: 'Chocked', 'Check the four'. Needed for confirm; other kinds have a fair word
    # of their own.
    button: Text | None = None
    asks: Name | None = None
    options: list[Option] = Field(default_factory=list)
    # spec: the placements of the vehicle's spec; homes: everything this job placed, back to where it lives.
    pairs: Annotated[
        Annotated[Literal["spec", "homes"], Tag("<word>")] | Annotated[list[Pair], Tag("<rest>")],
        Discriminator(_word_or_rest),
    ] = Field(default_factory=list)
    measure: Measure | None = None
    photo: Text | None = None
    wait: Duration | None = None
    hold: Literal["everyone", "apprentice", "none"] = "none"
    expect: Duration
    drawing: Literal["stand", "reflector", "patterns", "floor", "axis", "area", "chocks"] | None = None
    causes: list[Cause] = Field(default_factory=list)


class Area(Strict):
    """The clear floor a calibration needs, from the vehicle's own outline."""

    ahead: Size
    behind: Size
    each_side: Size


class Procedure(Strict):
    procedure: Name
    title: Text
    revision: Annotated[int, Field(ge=1)]
    # calibration: due by repair reasons. set-up: shared, once a job. closing: at the end of each job. day: the day's
    # equipment check.
    sort: Literal["calibration", "set-up", "closing", "day"]
    sensor: Name | None = None
    mode: Literal["static", "dynamic", "reset", "check"] | None = None
    due_when: list[Reason] = Field(default_factory=list)
    after: list[Name] = Field(default_factory=list)
    set_up: list[Name] = Field(default_factory=list)
    area: Area | None = None
    # Figures that a vehicle's spec must give before this procedure can be planned, with their unit.
    needs: dict[Name, Text] = Field(default_factory=dict)
    steps: Annotated[list[Step], Field(min_length=1)]


class SpecFigure(Strict):
    """One figure of a spec: a nominal with its tolerance, or limits, or a bare value."""

    value: Quantity | None = None
    nominal: Quantity | None = None
    tolerance: Quantity | None = None
    low: Quantity | None = None
    high: Quantity | None = None


class Placement(Strict):
    """Where a target stands, and the height of its centre.

    Vehicle axes: x forward, y left; origin on the floor midway between the front reference points.
    """

    target: Name
    spot: Name
    x: Length
    y: Length
    height: Length | None = None
    yaw: Angle | None = None


class Spec(Strict):
    """The figures of one vehicle for one procedure."""

    source: Text
    revision: Annotated[int, Field(ge=1)]
    reference: Literal["centreline", "thrust-line"] = "centreline"
    figures: dict[Name, SpecFigure] = Field(default_factory=dict)
    placements: list[Placement] = Field(default_factory=list)


class Outline(Strict):
    """Top view of the vehicle. `front-overhang` is from the front axle to the foremost point."""

    length: Size
    width: Size
    wheelbase: Size
    front_overhang: Size
    track_front: Size
    track_rear: Size


class Qualifier(Strict):
    """A question about this very vehicle whose answer changes the steps."""

    name: Name
    ask: Text
    options: Annotated[list[Option], Field(min_length=2)]


class Variant(Strict):
    """Figures that replace the vehicle's own of the same name where a qualifier's answer says so (larger wheels,
    other tyre pressures).
    """

    only_if: Annotated[Condition, Field(min_length=1)]
    figures: Annotated[dict[Name, SpecFigure], Field(min_length=1)]


class Vehicle(Strict):
    vehicle: Name
    maker: Text
    model: Text
    years: Annotated[str, StringConstraints(pattern=r"^\d{4}-(\d{4})?$")]
    # 17 characters with ? for any, or a beginning and *.
    vin: list[Text]
    revision: Annotated[int, Field(ge=1)]
    outline: Outline
    qualifiers: list[Qualifier] = Field(default_factory=list)
    # Figures that the shared set-up asks for (tyre pressures, ride heights), with their source.
    source: Text
    figures: dict[Name, SpecFigure] = Field(default_factory=dict)
    variants: list[Variant] = Field(default_factory=list)
    specs: dict[Name, Spec] = Field(default_factory=dict)


class Library(BaseModel):
    """All that procedures/ says, by name."""

    model_config = ConfigDict(frozen=True)

    catalogue: Catalogue
    procedures: dict[str, Procedure]
    vehicles: dict[str, Vehicle]
