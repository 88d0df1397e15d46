"""Full text for learners, short text for the experienced: who reads a step's `short`, by procedure.

The full text for everybody to begin with. The choice hangs on person and procedure; nothing of a sheet, a state or an
event hangs on the choice. Shared set-up and closing are procedures too.
"""

from collections.abc import Sequence

from .errors import BadInput, NotAllowed, shown
from .fold import step_of
from .kinds.common import Person
from .sheet import Sheet

TEXTS = ("full", "short")


def may_choose(person: Person | None) -> bool:
    """Whether that is for this person to say. For an apprentice a supervisor says it, on the people's page."""
    return person is not None and person.role != "apprentice"


def procedure_of(sheet: Sheet, name: str) -> str:
    """The procedure that a step of the sheet belongs to. Raises BadInput (`step-unknown`)."""
    step = step_of(sheet, name)
    if step is None:
        raise BadInput("step-unknown", "step", f"step={shown(name)} is not on this job's sheet; open the job again")
    return str(step["section"])


def chosen(person: Person | None, procedure: str, texts: str) -> tuple[str, ...]:
    """The procedures of which this person reads the short text, after choosing one of TEXTS for a procedure.

    Raises BadInput (`texts-unknown`) or NotAllowed (`texts-badge`, `texts-apprentice`).
    """
    if texts not in TEXTS:
        raise BadInput("texts-unknown", "texts", f"texts={shown(texts)} must be one of {', '.join(TEXTS)}")
    if person is None:
        what = "texts: nobody's badge was scanned on this phone; scan your badge, then choose again"
        raise NotAllowed("texts-badge", "texts", what)
    if not may_choose(person):
        what = f"texts={texts}: an apprentice's texts are set on the people's page; ask a supervisor or a manager"
        raise NotAllowed("texts-apprentice", "texts", what)
    return with_choice(person.short, procedure, texts)


def with_choice(short: Sequence[str], procedure: str, texts: str) -> tuple[str, ...]:
    """The names in order, each once: equal choices are equal texts where they are kept."""
    others = {one for one in short if one != procedure}
    return tuple(sorted(others | {procedure} if texts == "short" else others))
