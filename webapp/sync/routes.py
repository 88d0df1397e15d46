"""The phones' routes. With decisions.py the one file of this room that knows Flask."""

import re
from typing import Any, cast

from flask import Blueprint, Response, current_app, jsonify, make_response, request
from sqlmodel import Session
from werkzeug.wrappers import Response as AnyResponse

from webapp import address
from webapp.core import errors
from webapp.core.fields import Fields
from webapp.core.procedure import Library
from webapp.stocks import Stocks, library_in
from webapp.storage import arrivals, asides, devices, people, pieces, specs
from webapp.storage import engine as storage
from webapp.storage.asides import Apart
from webapp.storage.kit import kit
from webapp.storage.progress import remember
from webapp.sync import choices, moment, packet, shelves, turns
from webapp.sync.batch import LARGEST_BATCH, Batch, read_batch, read_json
from webapp.sync.intake import Taken, foresee, take
from webapp.sync.judge import Shop
from webapp.sync.offline import plan_of
from webapp.sync.pins import wrong_pins
from webapp.sync.replies import body_of, engine, piece_answer, refused_as_json, settings, whole_number
from webapp.sync.signed import Sender, need_paired, sender

APP_VERSION = re.compile("[0-9a-f]{1,40}")
UNSENT = re.compile("[0-9]{1,6}")

exchange = Blueprint("sync", __name__, url_prefix="/sync")

refused_as_json(exchange)


def library(db: Session) -> Library:
    """What jobs are planned by now, with the shop's own vehicles that are approved."""
    stocks = cast(Stocks, current_app.extensions["stocks"])
    return specs.library_of(db, library_in(stocks, db, cast(Library, current_app.extensions["library"])))


def _sender(db: Session, body: bytes = b"") -> Sender:
    query = request.query_string.decode("ascii", "replace")
    path = f"{request.path}?{query}" if query else request.path
    return sender(db, request.headers.get("Authorization", ""), request.method, path, body)


def _paired(db: Session, body: bytes = b"") -> Sender:
    found = _sender(db, body)
    need_paired(found.device)
    return found


def paired_sender(most: int) -> tuple[bytes, str]:
    """The request's body, and the name of the paired phone that has signed it."""
    body = body_of(most)
    with storage.session(engine()) as db:
        return body, _paired(db, body).device.id


def shop_now(db: Session, batch: Batch | None = None, by: str | None = None, why: str | None = None) -> Shop:
    now, staff = moment.now(), people.everyone(db)  # held to the end: whose PIN is checked is then known to the session
    crew = {one.code: people.as_known(one) for one in staff if one.active}
    pins = wrong_pins(db, batch, settings().data, now) if batch else {}
    return Shop(now, kit(db), crew, settings().photos, pins, by, why)


@exchange.post("/pair")
def pair() -> Response:
    """A phone with a code that a person has made: {code, key, name, device?} -> its name here."""
    given = Fields(read_json(body_of(10_000), "body"), "", ["code", "key", "name"], ["device"])
    code, name, was = (given.text_or_none(one) or "" for one in ("code", "name", "device"))
    origin = request.headers.get("Origin") or request.host_url.rstrip("/")  # a proxy may have changed the scheme
    with storage.writing(engine()) as db:
        device = devices.pair(db, code, given.get("key"), name, moment.now(), was or None, origin)
        said = {"device": device.id, "name": device.name, "highest": device.highest, "now": moment.now()}
        said["head"] = arrivals.held(db, device.id, device.highest, device.highest).get(device.highest)
    address.keep_first(settings().data, origin)
    return jsonify(said)


@exchange.post("/batches")
def take_batch() -> Response:
    """One batch, one transaction. When this is answered, what it says is kept is on the disk."""
    body = body_of(LARGEST_BATCH + 1)  # all of it, even to refuse it: else the connection would have to be closed
    with turns.turn():
        return _taken(body)


def _taken(body: bytes) -> Response:
    with storage.session(engine()) as db:
        sent = _sender(db, body)
    if sent.device.revoked_at:
        return _kept_aside(sent, body)
    batch = read_batch(body, sent.device.id, sent.at, sent.signature)
    with storage.session(engine()) as db:
        known = library(db)
    plans = [plan_of(known, facts) for facts in batch.jobs]
    with storage.session(engine()) as db:
        shop = shop_now(db, batch)
        judged = foresee(db, batch, shop)
    taken = storage.share(engine(), storage.with_session(lambda db: take(db, batch, shop, plans, judged)))
    return jsonify({"device": batch.device, "now": shop.now, **said_of(taken)})


def said_of(taken: Taken) -> dict[str, Any]:
    """What came of a batch, with the digests of the jobs that it has changed, as they are on the disk."""
    for job, progress in taken.progress.items():
        remember(job, progress)
    touched = {*taken.progress, *(job.id for job in taken.jobs if job.why is None)}
    with storage.session(engine()) as db:
        digests = {job: packet.digest(db, job) for job in sorted(touched)}
    return {
        "highest": taken.highest,
        "offset_s": taken.offset_s,
        "answers": [answer.as_dict() for answer in taken.answers],
        "jobs": [job.as_dict() for job in taken.jobs],
        "digests": digests,
    }


def _kept_aside(sent: Sender, body: bytes) -> Response:
    """What a phone that was turned away still brings: nothing is lost, and a manager decides."""
    read_batch(body, sent.device.id)  # what could never come in is refused at once
    try:
        need_paired(sent.device)
    except errors.NotAllowed as why:
        with storage.writing(engine()) as db:
            aside = asides.set_aside(db, sent.device.id, Apart.body(body.decode()), why, moment.now())
            said = {"status": "aside", "aside": aside.id, "decision": aside.decision}
        return make_response(jsonify({**why.as_dict(), **said}), 403)
    raise AssertionError("only a phone that was turned away comes here")


@exchange.get("/jobs")
def show_jobs() -> Response:
    with storage.session(engine()) as db:
        sent = _paired(db)
        said = {"now": moment.now(), "jobs": packet.open_jobs(db), **packet.other_jobs(db)}
    _note_seen(sent)
    return jsonify(said)


@exchange.post("/digests")
def show_digests() -> Response:
    """What a phone compares with its own, of jobs that are over: {jobs: [id]} -> {digests: {id: digest}}."""
    body = body_of(packet.LARGEST_ASKED)
    with storage.session(engine()) as db:
        _paired(db, body)
        return jsonify({"digests": packet.digests(db, packet.asked_for(body))})


def _note_seen(sent: Sender) -> None:
    """For the page of the phones. Every phone asks for the jobs each time it looks for the shop."""
    app, now = request.headers.get("Baybook-App"), moment.now()
    app = app if app and APP_VERSION.fullmatch(app) else None
    told = request.headers.get("Baybook-Unsent", "")
    unsent = int(told) if UNSENT.fullmatch(told) else None
    if (offset_s := sent.news(now, app, unsent)) is not None:
        seen = (sent.device.id, now, offset_s, app, unsent)
        storage.share(engine(), storage.with_session(lambda db: devices.note_seen(db, *seen)))


@exchange.get("/jobs/<job_id>/packet")
def show_packet(job_id: str) -> Response:
    with storage.session(engine()) as db:
        _paired(db)
        return jsonify({"now": moment.now(), **packet.packet(db, job_id)})


@exchange.get("/jobs/<job_id>/events")
def show_events(job_id: str) -> Response:
    after = request.args.get("after", "0")
    if not (after.isascii() and after.isdigit() and len(after) < 16):
        raise errors.BadInput("not-a-number", "after", f"after={errors.shown(after)} must be an event's number, or 0")
    with storage.session(engine()) as db:
        _paired(db)
        return jsonify({"now": moment.now(), "job": job_id, **packet.events(db, job_id, int(after))})


@exchange.get("/shelf")
def show_shelf() -> AnyResponse:
    with storage.session(engine()) as db:
        _paired(db)
        text, etag = shelves.whole_shelf(db, library(db), settings(), request.args.get("library", ""))
    answer = Response(text, mimetype="application/json", headers={"Cache-Control": "private, no-cache"})
    answer.set_etag(etag, weak=True)  # a strong one would be changed by whatever packs the answer for the wire
    return answer.make_conditional(request)


@exchange.post("/choices")
def take_choices() -> Response:
    """Who reads the short text of what, as chosen on a phone: {choices: [{person, procedure, texts}]} -> {taken}."""
    body = body_of(choices.LARGEST + 1)
    with storage.session(engine()) as db:
        _paired(db, body)
        known = set(library(db).procedures)
    given = choices.read_choices(body)
    with storage.writing(engine()) as db:
        taken = choices.take_choices(db, given, known)
    return jsonify({"taken": taken})


@exchange.get("/texts/<code>")
def show_texts(code: str) -> AnyResponse:
    """How the library reads in a language. A phone takes all of them along, and reads one."""
    with storage.session(engine()) as db:
        _paired(db)
        held = library(db)
    known = cast(Stocks, current_app.extensions["stocks"]).tongues
    if code not in known:
        message = f"language={errors.shown(code)} is not here; there are {', '.join(known)}"
        raise errors.NotFound("language-unknown", "language", message)
    text, etag = shelves.texts(held, known[code])
    answer = Response(text, mimetype="application/json", headers={"Cache-Control": "private, no-cache"})
    answer.set_etag(etag, weak=True)
    return answer.make_conditional(request)


@exchange.route("/photos/<sha256>", methods=["HEAD"])
def ask_photo(sha256: str) -> Response:
    """How much of a photo has come: Upload-Offset, and Upload-Complete ?1 or ?0."""
    with storage.session(engine()) as db:
        _paired(db)
        pieces.need_wanted(db, sha256)
    return _piece_answer(sha256, *pieces.offset_of(settings().photos, sha256))


@exchange.patch("/photos/<sha256>")
def take_piece(sha256: str) -> Response:
    """The next piece of a photo: Upload-Offset says where it begins, Upload-Length how long all of it is."""
    body = body_of(pieces.LARGEST_PIECE + 1)
    offset, total = (whole_number(name) for name in ("Upload-Offset", "Upload-Length"))
    with storage.session(engine()) as db:
        _paired(db, body)
        pieces.need_wanted(db, sha256)
    return _piece_answer(sha256, *pieces.add_piece(settings().photos, sha256, offset, total, body))


def _piece_answer(sha256: str, offset: int, whole: bool) -> Response:
    if whole:
        storage.share(engine(), storage.with_session(lambda db: pieces.note_arrived(db, sha256, offset)))
    return piece_answer(offset, whole)
