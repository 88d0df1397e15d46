"""The releases of head office that this process works by, or has shown to somebody: each made into a library once.

Which one is in use stands in the database and is asked at every request, so all processes turn to another one together;
each then makes its own library of the files that lie there.
"""

from collections import OrderedDict
from threading import Lock

from sqlalchemy.engine import Engine
from sqlmodel import Session

from webapp.core.errors import BaybookError
from webapp.core.lengths import Unit
from webapp.core.procedure import Library
from webapp.library.stock import Stock, of_files
from webapp.messages import Tongue
from webapp.storage import releases
from webapp.storage.engine import session

MOST = 3
"""Libraries of releases that a process keeps: the one in use, the one before it, and one that somebody looks at."""


class Stocks:
    """`tongues` are those of what came along; what a release does not translate is looked for there."""

    def __init__(self, unit: Unit, tongues: dict[str, Tongue]) -> None:
        self.unit, self.came_along, self.tongues = unit, tongues, tongues
        self._made: OrderedDict[tuple[str, int], Stock | BaybookError] = OrderedDict()
        self._making = Lock()

    def in_use(self, db: Session) -> Stock | None:
        """The release that jobs are planned by now, or None where that is what came along. Cheap: one look-up.

        What this program cannot work with any more, having been brought up to date, is none either: `trouble` says so.
        """
        number = releases.in_use(db.connection())
        found = self._of(db, number) if number != releases.CAME_ALONG else None
        made = found if isinstance(found, Stock) else None
        self.tongues = made.tongues if made else self.came_along
        return made

    def of(self, db: Session, number: int) -> Stock:
        """Any release that is held here, by its id. Raises NotFound, Conflict or BadInput (`library`)."""
        found = self._of(db, number)
        if isinstance(found, BaybookError):
            raise found
        return found

    def trouble(self, db: Session) -> BaybookError | None:
        """Why the release that was taken up is not worked by, where it is not."""
        number = releases.in_use(db.connection())
        found = self._of(db, number) if number != releases.CAME_ALONG else None
        return found if isinstance(found, BaybookError) else None

    def begin(self, engine: Engine) -> None:
        """Make what is in use now, before the first request asks for it."""
        with session(engine) as db:
            self.in_use(db)

    def _of(self, db: Session, number: int) -> Stock | BaybookError:
        name = str(db.get_bind().engine.url), number
        if (known := self._made.get(name)) is not None:
            return known
        with self._making:  # it takes a second or two, and all that ask meanwhile get the same
            if (known := self._made.get(name)) is not None:
                return known
            made = self._make(db, number)
            self._made[name] = made
            while len(self._made) > MOST:
                self._forget(db)
            return made

    def _make(self, db: Session, number: int) -> Stock | BaybookError:
        row = releases.release(db, number)
        try:
            said = releases.said_by(row)
            return of_files(releases.files_of(db, said), self.unit, self.came_along)
        except BaybookError as error:
            return error

    def _forget(self, db: Session) -> None:
        """Forget the oldest that is not in use."""
        used = str(db.get_bind().engine.url), releases.in_use(db.connection())
        del self._made[next(name for name in self._made if name != used)]


def library_in(stocks: Stocks, db: Session, came_along: Library) -> Library:
    """What jobs are planned by before the shop's own vehicles are laid over it: a release, or what came along."""
    made = stocks.in_use(db)
    return made.library if made else came_along
