"""A release as its page needs it: what it is, what it changes against what is worked by, and what it runs into here."""

from dataclasses import dataclass

from sqlmodel import Session

from webapp.core.errors import BaybookError
from webapp.core.procedure import Vehicle
from webapp.core.shelf import can_be_worked
from webapp.library import own
from webapp.library.stock import Stock, of_folder
from webapp.messages import english, tongue
from webapp.storage import releases, specs
from webapp.storage.release_tables import Release, ReleaseTurn
from webapp.web import db
from webapp.web.releases.told import Told, both, told


@dataclass(frozen=True)
class Clash:
    """A vehicle of the shop's own that a release runs into. `why` is what would keep it from being worked, if anything
    does; else the release has other figures of the same vehicle, which the shop's own stay in place of.
    """

    name: str
    called: str
    revision: int
    why: str


@dataclass(frozen=True)
class Seen:
    """`number` is its id here, 0 for what came along, which has no `row`. `against` is what it is compared with: what
    is worked by now, or, where that is this release, what was worked by before.
    """

    number: int
    row: Release | None
    in_use: int
    turn: ReleaseTurn | None
    against: int
    against_row: Release | None
    changes: list[Told]
    clashes: list[Clash]
    wrong: BaybookError | None

    @property
    def is_used(self) -> bool:
        return self.number == self.in_use


def see(held: Session, number: int) -> Seen:
    """A release by its id. Raises NotFound (`release-unknown`)."""
    row = releases.release(held, number) if number != releases.CAME_ALONG else None
    in_use, turn = releases.in_use(held.connection()), releases.last_turn(held)
    against = in_use if in_use != number else _before(held, number)
    other = releases.release(held, against) if against != releases.CAME_ALONG else None
    about = number, row, in_use, turn, against, other
    try:
        was, now = _stock(held, against), _stock(held, number)
    except BaybookError as error:
        return Seen(*about, [], [], error)
    code = tongue().code
    speaking = both(was.tongues[code], now.tongues[code])
    found = told(was.files, now.files, db.settings().length_unit, speaking)
    return Seen(*about, found, _clashes(held, was, now), None)


def _before(held: Session, number: int) -> int:
    """What was worked by before this one."""
    return next((one for one in releases.worked_by_before(held) if one != number), releases.CAME_ALONG)


def _stock(held: Session, number: int) -> Stock:
    if number != releases.CAME_ALONG:
        return db.stocks().of(held, number)
    return of_folder(db.settings().procedures, db.settings().length_unit)


def _clashes(held: Session, was: Stock, now: Stock) -> list[Clash]:
    """The shop's own vehicles that the release has other figures of, or that could not be worked with it."""
    approved = specs.approvals(held)
    documents = {one.vehicle: specs.revision_of(held, one.vehicle, one.revision).document for one in approved}
    made = []
    for one in approved:
        document = documents[one.vehicle]
        others = [other for name, other in documents.items() if name != one.vehicle]
        faults = own.faults(now.sources, document, others)
        why = f"{faults[0].place or 'vehicle'}: {faults[0].message}" if faults else ""
        if not faults and not can_be_worked(now.library, Vehicle.model_validate(document), english):
            why = "no sheet can be made of it with these procedures"
        place = own.file_of(one.vehicle)
        if why or was.files.get(place) != now.files.get(place):
            called = f"{document.get('maker', '')} {document.get('model', '')}".strip()
            made.append(Clash(one.vehicle, called, one.revision, why))
    return made
