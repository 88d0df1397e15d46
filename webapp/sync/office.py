"""Head office's routes for its shops: join, send the log's entries with what was recorded, send photos.

A shop signs each request as a phone does, with the key that signs its log (`Authorization: Baybook shop=…`).
"""

import zlib
from functools import partial
from pathlib import Path
from typing import Any

from flask import Blueprint, Response, jsonify, request
from sqlalchemy import RowMapping, update

from webapp.core import errors
from webapp.core.bundle import Bundle, read_bundle
from webapp.core.evidence import Signed
from webapp.core.fields import Fields
from webapp.storage import pieces
from webapp.storage.attachments import photo_path
from webapp.storage.keys import as_jwk, decoded, encoded, public_key, sign, signed
from webapp.storage.office import arrivals, door, kit, parts, rows, shops, tables
from webapp.storage.own_keys import RECORDS, private_key
from webapp.sync import moment
from webapp.sync.batch import read_json
from webapp.sync.replies import body_of, engine, piece_answer, refused_as_json, settings, whole_number
from webapp.sync.signed import JOIN, NotSigned, claim

office = Blueprint("office", __name__, url_prefix="/office")
refused_as_json(office)

LARGEST_PACKED, LARGEST_BUNDLE = 20_000_000, 100_000_000


@office.post("/join")
def join() -> Response:
    """A shop with the code that head office made for it: {code, key, signature} -> its name here, head office's key.

    The signature, under `baybook-join`, a line feed and the code, shows that the shop has the key's other half.
    """
    given = Fields(read_json(body_of(10_000), "body"), "", ["code", "key", "signature"])
    code, key = given.text_or_none("code") or "", public_key(given.get("key"))
    said = f"{JOIN}\n{code}".encode()
    if not signed(key, decoded(given.get("signature"), "signature", 64), said):
        raise NotSigned("signature-wrong", "signature", "signature is not that of the key under this code; join again")
    now = moment.now()
    with door.of_everything(engine()) as db:
        made_for = shops.redeem(db, code, now)
        name = made_for["shop"] or shops.new_name()
        shops.let_in(db, name, made_for, given.get("key"), now)
    answer = {"shop": name, "name": made_for["name"], "region": made_for["region"], "key": _own_jwk()}
    return jsonify(answer | {"size": 0, "head_size": 0, "now": now})


@office.get("/standing")
def standing() -> Response:
    """How far this shop's log has come here, which photos lack, and the digest of what was told of its kit last."""
    row = asking_shop()
    with door.of_shop(engine(), row["id"]) as db:
        shops.note_refused(db, row["id"], row["refused"], moment.now())
        lacking, told = rows.wanted_photos(db, row["id"]), kit.digest(db, row["id"])
    said = {"shop": row["id"], "size": row["size"], "head_size": row["head_size"], "photos": lacking, "kit": told}
    return jsonify(said | {"now": moment.now()})


@office.post("/bundles")
def take_bundle() -> Response:
    """The next entries of a shop's log. When this is answered, what it says is kept is on the disk."""
    body = body_of(LARGEST_PACKED + 1)
    row = asking_shop(body)
    try:
        taken = _take(row, read_bundle(read_json(_unpacked(body), "body")))
    except errors.Unavailable:
        raise
    except errors.BaybookError as error:
        with door.of_shop(engine(), row["id"]) as db:
            shops.note_refused(db, row["id"], error.message, moment.now())
        raise
    head = {"size": taken.head.size, "root": taken.head.root, "at": taken.at, "signature": taken.cosignature}
    return jsonify({"size": taken.size, "cosigned": head, "answers": taken.answers, "photos": taken.photos})


def _take(row: RowMapping, bundle: Bundle) -> arrivals.Taken:
    parts.make_parts(engine(), (rows.day(one.body) for one in bundle.sent if one.body))
    with door.of_shop(engine(), row["id"]) as db:
        taken = arrivals.take(db, row["id"], bundle, _by_key(row), _cosign, moment.now())
    for name in taken.erased:
        photo_path(_photos(row["id"]), name).unlink(missing_ok=True)
    return taken


@office.route("/photos/<sha256>", methods=["HEAD"])
def ask_photo(sha256: str) -> Response:
    """How much of a photo has come: Upload-Offset, and Upload-Complete ?1 or ?0."""
    row = asking_shop()
    _need_wanted(row["id"], sha256)
    return _photo_answer(row["id"], sha256, *pieces.offset_of(_photos(row["id"]), sha256))


@office.patch("/photos/<sha256>")
def take_photo_piece(sha256: str) -> Response:
    """The next piece of a photo: Upload-Offset says where it begins, Upload-Length how long all of it is."""
    body = body_of(pieces.LARGEST_PIECE + 1)
    row = asking_shop(body)
    offset, total = (whole_number(name) for name in ("Upload-Offset", "Upload-Length"))
    _need_wanted(row["id"], sha256)
    return _photo_answer(row["id"], sha256, *pieces.add_piece(_photos(row["id"]), sha256, offset, total, body))


def _photos(shop: str) -> Path:
    """Each shop's photos lie by themselves: what one erases is no other's."""
    return settings().photos / shop


def _photo_answer(shop: str, sha256: str, offset: int, whole: bool) -> Response:
    if whole:
        with door.of_shop(engine(), shop) as db:
            here = tables.photo.c.shop == shop, tables.photo.c.sha256 == sha256
            db.execute(update(tables.photo).where(*here).values(here=True))
    return piece_answer(offset, whole)


def _need_wanted(shop: str, sha256: str) -> None:
    with door.of_shop(engine(), shop) as db:
        rows.need_named(db, shop, sha256)


def asking_shop(body: bytes = b"") -> RowMapping:
    """The shop that has signed this request.

    Raises NotSigned (`not-signed`, `signature-wrong`), NotFound (`shop-unknown`) or NotAllowed (`shop-left`).
    """
    claimed = claim(request.headers.get("Authorization", ""), "shop", "only shops that have joined may ask this")
    with door.of_shop(engine(), claimed.name) as db:
        row = shops.shop_of(db, claimed.name)
    if not claimed.holds(shops.key_of(row), request.method, request.path, body):
        what = f"signature={errors.shown(claimed.signature)} is not that of shop '{row['name']}'; join head office anew"
        raise NotSigned("signature-wrong", "signature", what)
    shops.need_member(row)
    return row


def _by_key(row: RowMapping) -> Signed:
    return partial(_is_signed, shops.key_of(row))


def _is_signed(key: Any, signature: bytes, said: bytes) -> bool:
    try:
        return signed(key, decoded(signature.decode(), "signature", 64), said)
    except (errors.BadInput, UnicodeDecodeError):
        return False


def _cosign(said: bytes) -> str:
    return encoded(sign(private_key(settings().data, RECORDS), said))


def _own_jwk() -> dict[str, str]:
    return as_jwk(private_key(settings().data, RECORDS).public_key())


def _unpacked(body: bytes) -> bytes:
    """The body as it was before it was packed. Raises BadInput (`not-packed`, `bundle-too-large`)."""
    if request.headers.get("Content-Encoding", "") != "gzip":
        return body
    unpacking = zlib.decompressobj(zlib.MAX_WBITS | 16)
    try:
        made = unpacking.decompress(body, LARGEST_BUNDLE)
    except zlib.error as error:
        raise errors.BadInput(
            "not-packed", "body", f"body is not packed with gzip, as its header says: {error}"
        ) from error
    if unpacking.unconsumed_tail:
        what = f"body comes to more than {LARGEST_BUNDLE} bytes; send fewer entries at once"
        raise errors.BadInput("bundle-too-large", "body", what)
    return made
