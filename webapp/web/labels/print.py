"""What of the shop carries a label, and what stands on it."""

from typing import cast

from webapp.core.labels import LETTER_OF, Label, LabelKind, label_text
from webapp.storage.tables import Item, Person

from .sheet import Printed


def can_carry(item: Item) -> bool:
    """Whether this kind of thing is scanned at all: a tape or a level is not."""
    return item.kind in LETTER_OF


def printed(item: Item) -> Printed:
    """Return the label of a thing of the kit. Raises BadInput (`label-kind`) for one that carries none."""
    return Printed(label_text(Label(cast(LabelKind, item.kind), item.code)), item.name)


def badge(person: Person) -> Printed:
    """Return the label of somebody's badge."""
    return Printed(label_text(Label("badge", person.code)), person.name)
