"""Who may change what the whole shop relies on."""

from webapp.core.errors import NotAllowed
from webapp.web.who import current_person

MAY_CHANGE = ("supervisor", "manager")


def may_change() -> bool:
    """Whether the badge scanned on this phone is a supervisor's or a manager's."""
    person = current_person()
    return person is not None and person.role in MAY_CHANGE


def need_supervisor() -> None:
    """Raise NotAllowed (`needs-supervisor`) unless the badge scanned on this phone is a supervisor's or a manager's."""
    if not may_change():
        what = "This is for a supervisor or a manager: scan such a badge on this phone first, then send it again"
        raise NotAllowed("needs-supervisor", "", what)


def need_manager() -> None:
    """Raise NotAllowed (`needs-manager`) unless the badge scanned on this phone is a manager's."""
    person = current_person()
    if person is None or person.role != "manager":
        raise NotAllowed(
            "needs-manager", "", "This is for a manager: scan such a badge on this phone first, then send it again"
        )


def need_badge() -> str:
    """Return the name behind the badge scanned on this phone. Raises NotAllowed (`needs-badge`) where there is none."""
    person = current_person()
    if person is None:
        raise NotAllowed("needs-badge", "", "Scan your badge on this phone first, so that the note carries your name")
    return person.name
