"""A change to who may do what is signed: by a supervisor's or a manager's badge on this phone, and their PIN."""

from collections.abc import Mapping

from webapp.core.errors import NotAllowed
from webapp.storage import first, people
from webapp.web import db
from webapp.web.rights import need_supervisor
from webapp.web.who import current_person, pin_fits


def need_signature(form: Mapping[str, str]) -> bool:
    """Return whether the shop is new, and then the form carries its first code; else raise NotAllowed unless it is
    signed.

    Codes: `first-code`, `needs-supervisor`, `pin-wrong`, `pin-rests`.

    Done before the change's own transaction: checking a PIN takes 0.1 s, and nobody should wait in line for it.
    """
    with db.session() as held:
        if first.is_new(held):
            _need_first_code(form)
            return True
        need_supervisor()
        signer = current_person()
        found = people.by_badge(held, signer.code) if signer else None
    if found is None or not pin_fits(found, form.get("your_pin", "")):
        raise NotAllowed("pin-wrong", "your_pin", "your_pin is not your PIN; type your own PIN to sign this change")
    return False


def _need_first_code(form: Mapping[str, str]) -> None:
    if not first.is_first_code(db.settings().data, form.get("first_code", "")):
        what = (
            "first_code is not the one of this shop; the server's terminal shows it at the start, and so does the file "
            f"{first.FILE} in the data folder"
        )
        raise NotAllowed("first-code", "first_code", what)
