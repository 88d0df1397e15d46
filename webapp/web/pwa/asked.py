"""What a phone cannot know alone and asks the shop before it keeps a tap: a supervisor's PIN, the code in a photo."""

from flask import Response, jsonify, request

from webapp.core.errors import BadInput
from webapp.web.jobs.given import label_in, vin_in_photo, witness_in
from webapp.web.pwa import pages


@pages.post("/phone/witness")
def check_witness() -> Response:
    """The supervisor of this badge and PIN: {code, role, name}. Raises what a countersign itself would."""
    witness = witness_in(dict(request.form))
    return jsonify(code=witness.code, role=witness.role, name=witness.name)


@pages.post("/phone/vin")
def read_vin_photo() -> Response:
    """The VIN in this photo: {text, sure}, and whether it may be taken without a look at the vehicle."""
    text, sure = vin_in_photo(_photo("the VIN"))
    return jsonify(text=text, sure=sure)


@pages.post("/phone/label")
def read_photo() -> Response:
    """The label in this photo: {text}. Raises BadInput where no one label can be read in it."""
    return jsonify(text=label_in(_photo("the label")))


def _photo(of: str) -> bytes:
    upload = request.files.get("photo")
    if upload is None or not upload.filename:
        raise BadInput("photo-missing", "photo", f"photo is empty; take a picture of {of}, then send it")
    return bytes(upload.read())
