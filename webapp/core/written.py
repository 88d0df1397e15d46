"""How values are written in the files of procedures/: names, text, quantities, figures, conditions."""

from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Discriminator, StringConstraints, Tag

from .quantity import In, Quantity

Name = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9]*(-[a-z0-9]+)*$")]
Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1)]
FromSpec = Annotated[str, StringConstraints(pattern=r"^spec(\.[a-z][a-z0-9]*(-[a-z0-9]+)*)?$")]

Length = Annotated[Quantity, In("mm")]
Size = Annotated[Quantity, In("mm", above=0)]
Angle = Annotated[Quantity, In("deg")]
Duration = Annotated[Quantity, In("s", above=0)]


# Where a field takes two forms, the form is told first, so that a slip gets one message and not one for each form it
# might have had. The angle brackets keep a form's tag apart from the keys in an error's place.
def word_or_rest(given: Any) -> str:
    return "<word>" if isinstance(given, str) else "<rest>"


def spec_or_quantity(given: Any) -> str:
    return "<spec>" if isinstance(given, str) and given.startswith("spec") else "<quantity>"


Figure = Annotated[
    Annotated[FromSpec, Tag("<spec>")] | Annotated[Quantity, Tag("<quantity>")], Discriminator(spec_or_quantity)
]
# Conditions: the name of a qualifier of the vehicle, or of an earlier choose step's `asks`, and the values that let
# the step stand.
Condition = dict[
    Name, Annotated[Annotated[str, Tag("<word>")] | Annotated[list[str], Tag("<rest>")], Discriminator(word_or_rest)]
]


class Strict(BaseModel):
    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        populate_by_name=False,
        alias_generator=lambda field: field.rstrip("_").replace("_", "-"),
        use_attribute_docstrings=True,
    )
