"""A vehicle as its pages need it: its document, where it stands, and what the linter says of it."""

from dataclasses import dataclass
from functools import cached_property

from sqlmodel import Session

from webapp.core.errors import NotAllowed, NotFound, shown
from webapp.library import own
from webapp.library.own import Fault
from webapp.library.sources import Sources
from webapp.storage import people, specs
from webapp.storage.spec_tables import SpecDecision, SpecRevision
from webapp.storage.specs import Document
from webapp.web import db
from webapp.web.who import current_person


@dataclass(frozen=True)
class Seen:
    """`row` is the newest revision of the shop's own, None for a vehicle that only ships with the library.

    `decision` is the last one, `approval` the one in use; `others` are the shop's other vehicles in use.
    """

    document: Document
    row: SpecRevision | None
    decision: SpecDecision | None
    ships: bool
    others: tuple[Document, ...]

    @property
    def name(self) -> str:
        return str(self.document["vehicle"])

    @property
    def called(self) -> str:
        """Maker and model, as people say it."""
        return f"{self.document.get('maker', '')} {self.document.get('model', '')}".strip() or self.name

    @property
    def approval(self) -> SpecDecision | None:
        return self.decision if self.decision and self.decision.decision == "approved" else None

    @property
    def waits(self) -> bool:
        """Whether the newest revision is not approved."""
        return self.row is not None and (self.approval is None or self.approval.revision != self.row.revision)

    @cached_property
    def faults(self) -> list[Fault]:
        return faults(self.document, self.others) if self.row else []


def sources() -> Sources:
    with db.session() as held:
        released = db.stocks().in_use(held)
    return released.sources if released else own.shipped(db.settings().procedures)


def faults(document: Document, others: tuple[Document, ...]) -> list[Fault]:
    return own.faults(sources(), document, others)


def see(held: Session, name: str) -> Seen:
    """A vehicle by its name. Raises NotFound (`vehicle-unknown`)."""
    kept, ships = specs.newest(held, name), name in db.shipped().vehicles
    if kept is None and not ships:
        what = f"vehicle={shown(name)} is not known here; choose one of the list"
        raise NotFound("vehicle-unknown", "vehicle", what)
    last = next(iter(specs.decisions(held, name)), None)
    document = kept.document if kept else sources().vehicles[name].plain()
    return Seen(document, kept.row if kept else None, last, ships, others_in_use(held, name))


def others_in_use(held: Session, name: str) -> tuple[Document, ...]:
    """The shop's other vehicles that are approved."""
    there = [one for one in specs.approvals(held) if one.vehicle != name]
    return tuple(specs.revision_of(held, one.vehicle, one.revision).document for one in there)


def names(held: Session) -> dict[str, str]:
    """People's names by badge."""
    return {one.code: one.name for one in people.everyone(held)}


def may_write() -> bool:
    """Whether the badge scanned on this phone is a manager's."""
    person = current_person()
    return person is not None and person.role == "manager"


def need_manager() -> str:
    """Return the badge of the manager who has this phone. Raises NotAllowed (`needs-manager`)."""
    person = current_person()
    if person is None or person.role != "manager":
        what = "This is for a manager: scan such a badge on this phone first, then send it again"
        raise NotAllowed("needs-manager", "", what)
    return person.code
