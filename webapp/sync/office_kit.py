"""Head office's route on which a shop tells of its kit."""

import hashlib

from flask import Response, jsonify

from webapp.core.told_kit import read_kit
from webapp.storage.office import door, kit
from webapp.sync import moment
from webapp.sync.batch import read_json
from webapp.sync.office import asking_shop, office
from webapp.sync.replies import body_of, engine

LARGEST_KIT = 5_000_000


@office.put("/kit")
def take_kit() -> Response:
    """All of a shop's kit, in place of what it told before -> {kit}: its digest, which `standing` tells too."""
    body = body_of(LARGEST_KIT)
    row = asking_shop(body)
    told, digest = read_kit(read_json(body, "body")), hashlib.sha256(body).hexdigest()
    with door.of_shop(engine(), row["id"]) as db:
        kit.keep(db, row["id"], told, digest, moment.now())
    return jsonify({"kit": digest})
