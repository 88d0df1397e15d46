"""Head office's routes about its releases: what is the newest, what its files hold, what a shop made of one."""

from typing import Any

from flask import Response, jsonify, request
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import BadInput, shown
from webapp.core.events import INSTANT
from webapp.core.fields import Fields
from webapp.core.measure.reading import Range
from webapp.storage.office import door, releases
from webapp.sync import moment
from webapp.sync.batch import read_json
from webapp.sync.office import asking_shop, office
from webapp.sync.replies import body_of, engine

LARGEST_ANSWERS, MOST_ANSWERS, LONGEST = 500_000, 500, 500
NUMBER = Range("", 0, 1e9)
ANSWER = ("id", "number", "decision", "at", "by", "why")


@office.get("/releases/newest")
def newest_release() -> AnyResponse:
    """The newest release: {manifest, signature}; 204 where there is none, 304 for who has it by its SHA-256 (ETag)."""
    row = asking_shop()
    with door.of_shop(engine(), row["id"]) as db:
        found = releases.newest(db)
    if found is None:
        return Response(status=204)
    answer = jsonify({"manifest": found["manifest"], "signature": found["signature"]})
    answer.set_etag(found["sha256"])
    return answer.make_conditional(request)


@office.get("/releases/files/<sha256>")
def release_file(sha256: str) -> Response:
    """What a file of a release holds, by its digest."""
    row = asking_shop()
    with door.of_shop(engine(), row["id"]) as db:
        body = releases.file(db, sha256)
    return Response(body, mimetype="application/yaml")


@office.post("/releases/answers")
def take_release_answers() -> Response:
    """What a shop decided, and which release it works by: {answers, works_by} -> the last decision that is known."""
    body = body_of(LARGEST_ANSWERS)
    row = asking_shop(body)
    given = Fields(read_json(body, "body"), "", ["answers", "works_by"])
    answers = [_answer(one) for one in given.each("answers", MOST_ANSWERS, ANSWER)]
    works_by = int(given.number("works_by", NUMBER))
    with door.of_shop(engine(), row["id"]) as db:
        told = releases.note_answers(db, row, answers, works_by, moment.now())
    return jsonify({"told": told})


def _answer(fields: Fields) -> dict[str, Any]:
    texts = {name: fields.text_or_none(name) or "" for name in ("decision", "at", "by", "why")}
    if texts["decision"] not in ("approved", "declined"):
        what = f"{fields.at('decision')}={shown(texts['decision'])} must be approved or declined"
        raise BadInput("release-decision", fields.at("decision"), what)
    if not INSTANT.fullmatch(texts["at"]):
        raise BadInput("instant", fields.at("at"), f"{fields.at('at')}={shown(texts['at'])} must be an instant")
    for name in ("by", "why"):
        if len(texts[name]) > LONGEST or "\0" in texts[name]:
            raise BadInput("text-too-long", fields.at(name), f"{fields.at(name)} must be at most {LONGEST} characters")
    return {"id": int(fields.number("id", NUMBER)), "number": int(fields.number("number", NUMBER)), **texts}
