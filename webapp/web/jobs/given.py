"""What comes with a tap: who, when, the kit, a supervisor's badge and PIN, a photo read or kept.

Done before the transaction, since it is slow.
"""

from urllib.parse import parse_qsl

from flask import request

from webapp import decode
from webapp.core.errors import NotAllowed
from webapp.core.kinds import Moment
from webapp.core.kinds.common import Person
from webapp.core.kinds.countersign import MAY_COUNTERSIGN
from webapp.core.labels import read_badge
from webapp.storage import attachments, people
from webapp.storage.kit import kit
from webapp.storage.progress import progress_of
from webapp.web import db, forms, moment
from webapp.web.jobs.apart import unproven_of
from webapp.web.who import pin_fits

MOST_LETTERS_OF_A_NAME = 80


def form() -> dict[str, str]:
    """What the form says besides its token, of each name the first.

    The ordinary tap is a few plain fields; Werkzeug, ready for files of any size, takes three times as long over them.
    """
    if request.mimetype == forms.PLAIN_FORM and 0 < (request.content_length or 0) <= forms.PLAIN_BYTES:
        pairs = parse_qsl(request.get_data().decode(errors="replace"), keep_blank_values=True)[::-1]
    else:
        pairs = list(request.form.items())
    return {name: value for name, value in pairs if len(name) <= MOST_LETTERS_OF_A_NAME and name != forms.FIELD}


def moment_of(given: dict[str, str], job_id: str) -> Moment:
    """Now, this kit, and the witness whose badge and PIN the form carries, checked. Who taps is asked by `tap` itself.

    Raises NotAllowed (`pin-wrong`, `witness-role`) or BadInput where the badge is no badge.
    """
    witness = witness_in(given) if given.get("badge") or given.get("pin") else None
    if given.get("do") == "finish":
        with db.session() as held:
            at = progress_of(held, job_id)
        return Moment(moment.now(), moment.today(), witness=witness, unproven=unproven_of(at))
    if given.get("do") not in ("scan", "measure"):
        return Moment(moment.now(), moment.today(), witness=witness)
    with db.session() as held:
        return Moment(moment.now(), moment.today(), kit(held), witness=witness)


def witness_in(given: dict[str, str]) -> Person:
    """The supervisor whose badge and PIN the form carries. Raises BadInput or NotAllowed, as `moment_of` does."""
    code = read_badge(given.get("badge", ""), "the supervisor's")
    with db.session() as held:
        found = people.person(held, code)
        if found.role not in MAY_COUNTERSIGN:
            raise NotAllowed(
                "witness-role",
                "badge",
                f"badge={found.code}: {found.name} is {found.role}; a supervisor or manager must countersign",
            )
        if not pin_fits(found, given.get("pin", "")):
            raise NotAllowed("pin-wrong", "pin", f"pin is not that of {found.name}; the supervisor types it again")
        return Person(found.code, found.role, found.name)


def photo_of(given: dict[str, str]) -> attachments.Photo | None:
    """Read the photo that came along: on a scan step its label becomes the text; on a photo step it is kept.

    Raises BadInput where it is no photo, or where no one label can be read in it.
    """
    for name in ("sha256", "media"):
        given.pop(name, None)  # what names a kept photo is ours to say, not a form's
    upload = request.files.get("photo") if request.mimetype != forms.PLAIN_FORM else None
    if upload is None or not upload.filename:
        return None
    data = upload.read()
    if given.get("do") == "scan":
        given |= {"text": label_in(data), "via": "photo"}
        return None
    if given.get("do") != "photo":
        return None
    kept = attachments.write_photo(db.settings().photos, decode.open_in_colour(data))
    given |= {"sha256": kept.sha256, "media": kept.media}
    return kept


def label_in(data: bytes) -> str:
    """The label in a photo; or, where there is only a code that is no label of the shop, that: it gets its verdict."""
    reading = decode.decode_photo(data, decode.LABEL)
    if not reading.found and reading.others:
        return reading.others[0].text
    return reading.only().text


def vin_in_photo(data: bytes) -> tuple[str, bool]:
    """The VIN in a photo, and whether it was read surely enough to be taken without a look at the vehicle."""
    reading = decode.decode_photo(data, decode.VIN)
    return reading.only().text, reading.sure
