"""The standing cast of the tests: the people and things of the demo shop, by the names that the tests call them."""

from dataclasses import dataclass

from flask.testing import FlaskClient
from sqlmodel import Session, col, select

from webapp.core.labels import Label, LabelKind, label_text
from webapp.storage.tables import Item


@dataclass(frozen=True)
class Someone:
    """A person of the demo shop."""

    badge: str
    name: str
    role: str
    pin: str = ""

    @property
    def label(self) -> str:
        return label_text(Label("badge", self.badge))


NOOR = Someone("DK4KV7", "Noor Brandt", "technician", "3141")
ILYA = Someone("DC9XT3", "Ilya Sorensen", "apprentice", "5926")
ADA = Someone("DH6RM4", "Ada Pereira", "supervisor", "2468")
TOMAS = Someone("DQ3WC8", "Tomas Okafor", "manager", "1357")
CAST = (NOOR, ILYA, ADA, TOMAS)


def thing(db: Session, is_: str, *, spare: bool = False) -> Item:
    """Return the item of that kind, or its spare."""
    found = db.exec(select(Item).where(col(Item.is_) == is_).order_by(Item.name)).all()
    return found[1 if spare else 0]


def label_of(item: Item) -> str:
    """Return the text in the item's QR code, as a scanner types it."""
    kinds: dict[str, LabelKind] = {"target": "target", "spot": "spot", "bay": "bay", "test-label": "test-label"}
    return label_text(Label(kinds[item.kind], item.code))


def scan_badge(client: FlaskClient, person: Someone) -> None:
    """Begin to work with a phone: scan the badge, then type the PIN."""
    answer = client.post("/badge", data={"badge": person.label, "pin": person.pin})
    assert answer.status_code == 303, answer.text
