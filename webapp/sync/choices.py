"""What was chosen on phones, by whoever had one in hand: of which procedures they read the short text."""

from dataclasses import dataclass

from sqlmodel import Session

from webapp.core.errors import BadInput, NotAllowed, shown
from webapp.core.fields import Fields
from webapp.core.short import TEXTS
from webapp.storage import people
from webapp.sync.batch import read_json

MOST_CHOICES = 500
LARGEST = 100_000


@dataclass(frozen=True)
class Choice:
    """That the person with this badge reads the `full` or the `short` text of a procedure."""

    person: str
    procedure: str
    texts: str


def read_choices(body: bytes) -> list[Choice]:
    """Read {"choices": [{person, procedure, texts}]}. Raises BadInput where it is not of this shape."""
    if len(body) > LARGEST:
        message = f"body has {len(body)} bytes; at most {LARGEST} are taken at once: send fewer choices"
        raise BadInput("batch-too-large", "body", message)
    given = Fields(read_json(body, "body"), "", ["choices"])
    return [_choice(one) for one in given.each("choices", MOST_CHOICES, ["person", "procedure", "texts"])]


def _choice(given: Fields) -> Choice:
    person, procedure, texts = (given.text_or_none(one) or "" for one in ("person", "procedure", "texts"))
    if texts not in TEXTS:
        field = given.at("texts")
        raise BadInput("texts-unknown", field, f"{field}={shown(texts)} must be one of {', '.join(TEXTS)}")
    return Choice(person, procedure, texts)


def take_choices(db: Session, choices: list[Choice], known: set[str]) -> int:
    """Keep the choices that were their makers' to make, of the procedures `known` here; return how many these are.

    The others are let go: by then somebody has left or has become an apprentice, and what the shop says of its people
    counts. Call it in a `writing` transaction.
    """
    taken = 0
    for one in choices:
        if one.procedure not in known:
            continue
        try:
            people.choose_texts(db, one.person, one.procedure, one.texts)
        except NotAllowed:
            continue
        taken += 1
    return taken
