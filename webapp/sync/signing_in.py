"""Who works with a paired phone: its word, with the PIN that was typed there, sealed for the shop.

    POST /sync/sign-ins
    {"sign_ins": [{"id", "person", "at", "seq", "seal", "begun"?}], "at_work"?: id|null, "take"?: {"id", "seq", "at"}}
    -> {"answers": [{"id", "right": true, false or null, "error"?}], "person"}

`begun`: work was done under it before the shop could be asked, so that a wrong PIN is written down beside that work;
one that may not be tried just now stays open (null) and comes again. `at_work` tells under which one somebody works
there now, and the browser's own session follows; `take` makes one of that session, which had been begun with a PIN
before the browser was a paired phone's.
"""

from dataclasses import asdict, dataclass
from time import time
from typing import Any

from flask import current_app, jsonify, session
from werkzeug.wrappers import Response

from webapp.config import Settings
from webapp.core import lock
from webapp.core.errors import BadInput, BaybookError, NotAllowed, Unavailable, shown
from webapp.core.event_data import LARGEST
from webapp.core.events import INSTANT
from webapp.core.fields import Fields
from webapp.storage import engine as storage
from webapp.storage import people, sign_ins
from webapp.storage.phone_tables import SignIn
from webapp.storage.pins import check_pin
from webapp.storage.seal import open_seal
from webapp.sync import answers, moment
from webapp.sync.batch import read_json
from webapp.sync.replies import engine
from webapp.sync.routes import exchange, paired_sender

LARGEST_BODY = 64_000
MOST = 40


@dataclass(frozen=True)
class Told:
    """One that a phone tells of."""

    id: str
    person: str
    at: str
    seq: int
    seal: Any
    begun: bool


@exchange.post("/sign-ins")
def take_sign_ins() -> Response:
    """Check the PINs with which people began; see this file's head."""
    body, device = paired_sender(LARGEST_BODY + 1)
    given = Fields(read_json(body, "body"), "", ["sign_ins"], ["at_work", "take"])
    told = [_read(one) for one in given.each("sign_ins", MOST, ["id", "person", "at", "seq", "seal"], ["begun"])]
    answers = [_checked(device, one) for one in told]
    if given.get("take") is not None:
        person = _take(device, given.inner("take", ["id", "seq", "at"]))
        return jsonify(answers=answers, person=person)
    if "at_work" in given.given:
        _sit(device, given.text_or_none("at_work"))
    return jsonify(answers=answers, person=session.get("person"))


def _read(given: Fields) -> Told:
    name, person, at = (given.text_or_none(one) or "" for one in ("id", "person", "at"))
    if not all(0 < len(text) <= 64 for text in (name, person)) or not INSTANT.fullmatch(at):
        raise BadInput("sign-in", given.path, f"{given.path} must have id, person, and an instant as at; begin again")
    return Told(name, person, at, _seq(given), given.get("seal"), given.get("begun") is True)


def _seq(given: Fields) -> int:
    seq = given.get("seq")
    if not isinstance(seq, int) or isinstance(seq, bool) or not 1 <= seq <= LARGEST:
        raise BadInput("sign-in", given.at("seq"), f"{given.at('seq')}={shown(seq)} must be a whole number from 1")
    return seq


def _checked(device: str, told: Told) -> dict[str, Any]:
    """Whether the PIN was right; what was answered once is answered so again."""
    with storage.session(engine()) as db:
        known = sign_ins.sign_in(db, told.id)
    if known and (known.device, known.person, known.seq) == (device, told.person, told.seq):
        return {"id": told.id, "right": known.right}
    try:
        _need_right(device, told)
    except NotAllowed as error:
        if error.code == "pin-rests" and told.begun:
            return {"id": told.id, "right": None}
        return _wrong(device, told, error)
    except Unavailable:
        raise  # that says nothing of the PIN: the phone tells again
    except BaybookError as error:
        return _wrong(device, told, error)
    _keep(device, told, None)
    return {"id": told.id, "right": True}


def _need_right(device: str, told: Told) -> None:
    with storage.session(engine()) as db:
        person = people.person(db, told.person)
    pin = open_seal(_settings().data, told.seal, told.id)
    if not person.active:
        what = f"badge={person.code}: {person.name} no longer works here; ask a manager"
        raise NotAllowed("badge-inactive", "badge", what)
    if not person.pin_hash:
        who = f"badge={person.code}: {person.name}"
        what = f"{who} has no PIN yet; a supervisor or a manager gives one on the people's page"
        raise NotAllowed("pin-missing", "badge", what)
    if not check_pin(engine(), person, pin, device, moment.now()):
        raise NotAllowed("pin-wrong", "pin", f"pin is not that of {person.name}; type it again")


def _wrong(device: str, told: Told, error: BaybookError) -> dict[str, Any]:
    """Where nothing was done under it, the phone tells at once, and there is nothing to keep."""
    if told.begun:
        _keep(device, told, error.message)
    return {"id": told.id, "right": False, **error.as_dict()}


def _keep(device: str, told: Told, why: str | None) -> None:
    now = moment.now()
    row = SignIn(
        id=told.id,
        device=device,
        person=told.person,
        at=told.at,
        seq=told.seq,
        right=why is None,
        why=why,
        checked_at=now,
    )
    with storage.writing(engine()) as db:
        sign_ins.keep(db, row)
        sign_ins.mark_wrong(db, device, now)
        answers.look_again(db)


def _take(device: str, given: Fields) -> dict[str, Any] | None:
    """Whoever had begun in this browser, with a PIN and not locked out since."""
    texts = [given.text_or_none(name) or "" for name in ("id", "at")]
    used_s = session.get("used")
    locked = used_s is None or "locked" in session or lock.is_locked(used_s, time(), _settings().lock_after_s)
    with storage.session(engine()) as db:
        person = None if locked else people.at_work(db, session.get("person") or "")
    if person is None or not all(0 < len(text) <= 64 for text in texts):
        return None
    _keep(device, Told(texts[0], person.code, texts[1], _seq(given), None, begun=True), None)
    _follow(device, person.code)
    return asdict(person)


def _sit(device: str, name: str | None) -> None:
    """The browser's session is whoever's works there now; nobody's where that PIN was not right."""
    with storage.session(engine()) as db:
        known = sign_ins.sign_in(db, name) if name else None
        right = known is not None and known.right and known.device == device
        person = people.at_work(db, known.person) if known and right else None
    _follow(device, person.code if person else None)


def _follow(device: str, person: str | None) -> None:
    session["person"], session["used"], session["device"] = person, int(time()), device
    session.pop("locked", None)
    session.permanent = True


def _settings() -> Settings:
    found: Settings = current_app.extensions["settings"]
    return found
