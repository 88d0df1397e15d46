"""Who signs a decision on the shop's figures or procedures: a supervisor or a manager, with badge and PIN."""

from flask import request

from webapp.core.errors import NotAllowed
from webapp.core.kinds.common import Person
from webapp.core.kinds.countersign import MAY_COUNTERSIGN
from webapp.storage import people
from webapp.web import db
from webapp.web.jobs.given import witness_in
from webapp.web.who import current_person, pin_fits


def signer() -> Person:
    """Who signs: the badge that the form carries, else this phone's own, a supervisor's or a manager's, with the PIN.

    Raises NotAllowed (`witness-missing`, `pin-wrong`, `witness-role`) or BadInput where the badge is no badge.
    """
    form = request.form.to_dict()
    if form.get("badge", "").strip():
        return witness_in(form)
    person = signs_here()
    if person is None:
        raise NotAllowed(
            "witness-missing", "badge", "badge is empty; a supervisor scans their badge and types their PIN"
        )
    with db.session() as held:
        found = people.person(held, person.code)
    if not pin_fits(found, form.get("pin", "")):
        raise NotAllowed("pin-wrong", "pin", f"pin is not that of {found.name}; the supervisor types it again")
    return person


def signs_here() -> Person | None:
    """Whoever has this phone, if they may sign."""
    person = current_person()
    return person if person and person.role in MAY_COUNTERSIGN else None
