"""Photos come in pieces: each goes on where the last one ended, and the whole is what its name says."""

import hashlib
import json
from base64 import b64encode
from io import BytesIO
from random import Random

import pytest
from PIL import Image
from werkzeug.test import TestResponse

from tests.sync.conftest import Exchange
from tests.sync.phone import Phone
from webapp.core.act import Draft
from webapp.storage import attachments, pieces
from webapp.storage.engine import session


def picture(side_px: int = 400) -> bytes:
    """A JPEG that does not compress well."""
    data = BytesIO()
    noise = Image.frombytes("RGB", (side_px, side_px), Random(1).randbytes(3 * side_px * side_px))
    noise.save(data, "JPEG", quality=90)
    return data.getvalue()


def announced(at: Exchange, data: bytes) -> tuple[Phone, str, str]:
    job = at.job()
    phone, name = at.phone(job), hashlib.sha256(data).hexdigest()
    phone.keep(job, Draft("photographed", "work/picture", 1, 0, {"sha256": name, "media": "image/jpeg", "held": False}))
    assert [one["status"] for one in phone.send(at.client)["answers"]] == ["kept"]
    return phone, job, name


def send(at: Exchange, phone: Phone, name: str, offset: int, data: bytes, total: int) -> TestResponse:
    about = {"Upload_Offset": str(offset), "Upload_Length": str(total)}
    return phone.request("PATCH", f"/sync/photos/{name}", data, **about).arrive(at.client)


def has(at: Exchange, phone: Phone, name: str) -> tuple[str, str]:
    answer = phone.request("HEAD", f"/sync/photos/{name}").arrive(at.client)
    assert answer.status_code == 204
    return answer.headers["Upload-Offset"], answer.headers["Upload-Complete"]


def test_a_photo_goes_on_where_it_was_cut_off(at: Exchange) -> None:
    data = picture()
    phone, _job, name = announced(at, data)
    assert has(at, phone, name) == ("0", "?0")
    for begin in range(0, len(data), 50_000):
        piece = data[begin : begin + 50_000]
        assert send(at, phone, name, begin, piece, len(data)).status_code == 204
        again = send(at, phone, name, begin, piece, len(data))  # the answer was lost, so it comes twice
        if begin + 50_000 < len(data):
            assert (again.status_code, again.get_json()["error"]["code"]) == (409, "piece-offset")
        assert has(at, phone, name)[0] == str(min(begin + 50_000, len(data)))
    assert has(at, phone, name) == (str(len(data)), "?1")
    with at.client.get(f"/photos/{name}.jpg") as answer:
        assert answer.data == data
    with session(at.engine) as db:
        assert attachments.attachment(db, name).size == len(data)
    assert [path.name for path in (at.settings.photos / name[:2]).iterdir()] == [name]


def test_a_photo_that_came_before_its_second_event_is_there_at_once(at: Exchange) -> None:
    data = picture(40)
    phone, job, name = announced(at, data)
    send(at, phone, name, 0, data, len(data))
    event = phone.keep(
        job, Draft("photographed", "work/picture", 1, 1, {"sha256": name, "media": "image/jpeg", "held": False})
    )
    phone.send(at.client)
    with session(at.engine) as db:
        row = db.get_one(pieces.Attachment, event.id)
        assert (row.size, row.job) == (len(data), job)


@pytest.mark.parametrize(
    ("offset", "piece", "total", "status", "code"),
    [
        (1, b"x", 10, 409, "piece-offset"),
        (0, b"", 10, 413, "piece-too-large"),
        (0, b"x" * 1_000_001, 2_000_000, 413, "piece-too-large"),
        (0, b"x", 0, 413, "photo-too-large"),
        (0, b"x", 15_000_001, 413, "photo-too-large"),
        (0, b"x" * 11, 10, 400, "piece-beyond"),
        (0, b"x" * 10, 10, 400, "photo-damaged"),
    ],
)
def test_a_piece_that_cannot_be_taken_is_refused(
    at: Exchange, offset: int, piece: bytes, total: int, status: int, code: str
) -> None:
    phone, _job, name = announced(at, picture(40))
    answer = send(at, phone, name, offset, piece, total)
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (status, code)
    assert has(at, phone, name) == ("0", "?0")


def test_what_is_no_photo_is_dropped_though_its_hash_is_right(at: Exchange) -> None:
    data = b"GIF89a, but not a picture at all"
    phone, _job, name = announced(at, data)
    assert send(at, phone, name, 0, data, len(data)).get_json()["error"]["code"] == "photo-damaged"
    assert has(at, phone, name) == ("0", "?0")


def test_a_photo_that_no_event_names_is_not_taken(at: Exchange) -> None:
    phone = at.phone()
    name = hashlib.sha256(b"x").hexdigest()
    assert send(at, phone, name, 0, b"x", 1).get_json()["error"]["code"] == "photo-unknown"
    assert phone.request("HEAD", f"/sync/photos/{name}").arrive(at.client).status_code == 404
    for bad in ("..", "a" * 63, "A" * 64):
        assert phone.request("PATCH", f"/sync/photos/{bad}", b"x").arrive(at.client).status_code in (400, 404)


def test_a_piece_without_its_place_is_refused_by_name(at: Exchange) -> None:
    phone, _job, name = announced(at, picture(40))
    answer = phone.request("PATCH", f"/sync/photos/{name}", b"x", Upload_Offset="-1").arrive(at.client)
    assert answer.get_json()["error"]["field"] == "Upload-Offset"


def test_a_saved_journal_brings_its_photos_along(at: Exchange) -> None:
    data, other = picture(), picture(40)
    name, stranger = hashlib.sha256(data).hexdigest(), hashlib.sha256(other).hexdigest()
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, Draft("photographed", "work/picture", 1, 0, {"sha256": name, "media": "image/jpeg", "held": False}))
    photos = [
        {"photo": name, "base64": b64encode(data).decode()},
        {"photo": stranger, "base64": b64encode(other).decode()},  # no event names it
        {"photo": name, "base64": "not base64"},
        {"photo": name.upper(), "base64": ""},
    ]
    lines = [json.dumps({"journal": 1, "device": phone.device}), *phone.lines.values(), *map(json.dumps, photos)]
    at.as_manager()
    for _twice in range(2):
        file = BytesIO("\n".join(lines).encode())
        said = at.client.post("/sync/imports", data={"journal": (file, "journal.jsonl")}).get_json()
        assert said["photos"] == [name]
        codes = {one["line"]: one["error"]["code"] for one in said["unread"]}
        assert codes == {4: "photo-unknown", 5: "photo-unreadable", 6: "photo-unreadable"}
    with at.client.get(f"/photos/{name}.jpg") as answer:
        assert answer.data == data
