"""What the log keeps of an error: where it happened, and nothing that was typed."""

import logging

import pytest
from flask import Flask, request

from webapp.web.answer import Application

VIN = "0RVWA4G2XK1000417"


@pytest.fixture(scope="module")
def breaking() -> Flask:
    """An application all of whose pages break, telling in their error whatever they were given."""
    app = Application("breaking")

    @app.post("/breaks/<path:_rest>")
    def breaks(_rest: str) -> str:
        try:
            raise KeyError(request.get_data().decode())
        except KeyError as error:
            said = {**request.form, **request.args, "cookie": request.headers.get("Cookie")}
            raise ValueError(f"{said} of {VIN} and {VIN.lower()}, read at 0123456789abcdef0") from error

    return app


def logged(app: Flask, caplog: pytest.LogCaptureFixture, **sent: object) -> str:
    with caplog.at_level(logging.DEBUG):
        answer = app.test_client().post(f"/breaks/{VIN}?plate=AB-12+CD", **sent)  # type: ignore[arg-type]
    assert answer.status_code == 500
    return caplog.text


@pytest.mark.parametrize("kind", ["application/x-www-form-urlencoded", "multipart/form-data"])
def test_of_a_form_all_that_was_typed_is_struck_out(
    breaking: Flask, caplog: pytest.LogCaptureFixture, kind: str
) -> None:
    typed = {"pin": "2468", "note": 'Señora Álvarez\'s "car"\nis red', "your_pin": "9753"}
    headers = {"Cookie": "session=a-session-of-somebody", "Authorization": "Baybook signature=abcdef"}
    said = logged(breaking, caplog, data=typed, content_type=kind, headers=headers)
    assert "Exception on /breaks/[struck out] [POST]" in said
    assert "ValueError: {" in said
    assert "test_logged.py" in said
    for secret in ("2468", "9753", "lvarez", "is red", "AB-12", "somebody", VIN, VIN.lower(), "signature"):
        assert secret not in said, secret
    assert "0123456789abcdef0" not in said  # a VIN has no more than letters and digits: better once too often
    assert "read at" in said


def test_of_what_a_phone_sent_only_the_places_are_kept(breaking: Flask, caplog: pytest.LogCaptureFixture) -> None:
    said = logged(breaking, caplog, json={"events": ["Señora Álvarez", "2468"]})
    assert "\nKeyError\n" in said
    assert "\nValueError\n" in said
    for secret in ("2468", "lvarez", VIN, "0123456789abcdef0"):
        assert secret not in said, secret
