"""A change to who may do what is signed: by a supervisor's or a manager's badge on this phone, and their PIN."""

from collections.abc import Mapping

from sqlmodel import Session

from webapp.core.errors import NotAllowed
from webapp.storage import people
from webapp.web import db
from webapp.web.rights import MAY_CHANGE, need_supervisor
from webapp.web.who import current_person


def shop_is_new(held: Session) -> bool:
    """Whether there is nobody yet who could sign: then the first one is added without a signature."""
    return not any(one.active and one.pin_hash and one.role in MAY_CHANGE for one in people.everyone(held))


def need_signature(form: Mapping[str, str]) -> bool:
    """Return whether the shop is new; else raise NotAllowed unless the form is signed.

    Codes: `needs-supervisor`, `pin-wrong`, `pin-rests`.

    Done before the change's own transaction: checking a PIN takes 50 ms, and nobody should wait in line for it.
    """
    with db.session() as held:
        if shop_is_new(held):
            return True
        need_supervisor()
        signer = current_person()
        found = people.by_badge(held, signer.code) if signer else None
    if found is None or not people.check_pin(found, form.get("your_pin", "")):
        raise NotAllowed("pin-wrong", "your_pin", "your_pin is not your PIN; type your own PIN to sign this change")
    return False
