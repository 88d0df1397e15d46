"""What a phone cannot know alone and asks the shop before it keeps a tap: a supervisor's PIN, the label in a photo."""

from dataclasses import asdict

from flask import Response, jsonify, request

from webapp.core.errors import BadInput
from webapp.web.jobs.given import label_in, witness_in
from webapp.web.pwa import pages


@pages.post("/phone/witness")
def check_witness() -> Response:
    """The supervisor of this badge and PIN: {code, role, name}. Raises what a countersign itself would."""
    return jsonify(asdict(witness_in(dict(request.form))))


@pages.post("/phone/label")
def read_photo() -> Response:
    """The label in this photo: {text}. Raises BadInput where no one label can be read in it."""
    upload = request.files.get("photo")
    if upload is None or not upload.filename:
        raise BadInput("photo-missing", "photo", "photo is empty; take a picture of the label, then send it")
    return jsonify(text=label_in(upload.read()))
