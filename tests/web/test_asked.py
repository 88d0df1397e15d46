"""What a phone asks the shop for: whose badge, which supervisor, what a photo shows that it could not read itself."""

import pytest
from flask.testing import FlaskClient

from tests.cast import ADA, NOOR, scan_badge

from .upload import code_photo, form_with

VIN = "1M8GDM9AXKP042788"


def test_a_phone_is_told_whose_badge_the_session_holds(client: FlaskClient) -> None:
    assert client.get("/phone/who").get_json() == {"person": None}
    scan_badge(client, NOOR)
    person = {"code": NOOR.badge, "role": NOOR.role, "name": NOOR.name, "short": [], "levels": {}}
    assert client.get("/phone/who").get_json() == {"person": person}


def test_a_supervisors_pin_is_checked_and_told_by_nobody(client: FlaskClient) -> None:
    said = client.post("/phone/witness", data={"badge": ADA.label, "pin": ADA.pin})
    assert said.get_json() == {"code": ADA.badge, "role": ADA.role, "name": ADA.name}
    wrong = client.post(
        "/phone/witness", data={"badge": ADA.label, "pin": "0000"}, headers={"Accept": "application/json"}
    )
    assert (wrong.status_code, wrong.get_json()["error"]["code"]) == (403, "pin-wrong")


@pytest.mark.parametrize(
    ("path", "text", "said"),
    [("/phone/vin", VIN, {"text": VIN, "sure": True}), ("/phone/label", ADA.label, {"text": ADA.label})],
)
def test_a_photo_that_a_phone_could_not_read_is_read_here(
    client: FlaskClient, path: str, text: str, said: dict[str, object]
) -> None:
    assert client.post(path, **form_with({}, code_photo(text))).get_json() == said
    missing = client.post(path, **form_with({}), headers={"Accept": "application/json"})
    assert (missing.status_code, missing.get_json()["error"]["code"]) == (400, "photo-missing")
