"""Pages, styles and scripts come packed; the answer to a tap does not, and what a browser kept is not sent again."""

import gzip

from flask.testing import FlaskClient

from tests.cast import NOOR, scan_badge

GZIP = {"Accept-Encoding": "gzip, deflate"}  # all that a browser asks for over plain http
STYLES = "/static/css/baybook.css"


def test_styles_come_packed_and_are_the_same_unpacked(client: FlaskClient) -> None:
    with client.get(STYLES, headers=GZIP) as packed, client.get(STYLES) as plain:
        text = plain.data
        assert gzip.decompress(packed.data) == text
    assert packed.headers["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in packed.headers["Vary"]
    assert len(packed.data) < len(text) / 2


def test_a_file_of_the_pages_is_told_its_age_once_and_not_its_name(client: FlaskClient) -> None:
    with client.get(STYLES, headers=GZIP) as packed:
        assert packed.headers["Cache-Control"] == "public, max-age=3600"
        assert not {"Expires", "Content-Disposition"} & set(packed.headers.keys())


def test_what_the_browser_kept_is_not_sent_again(client: FlaskClient) -> None:
    with client.get(STYLES, headers=GZIP) as kept:
        tag = kept.headers["ETag"]
    with client.get(STYLES, headers=GZIP | {"If-None-Match": tag}) as again:
        assert (again.status_code, again.data) == (304, b"")


def test_a_typeface_is_packed_already(client: FlaskClient) -> None:
    with client.get("/static/vendor/fonts/next.woff2", headers=GZIP) as typeface:
        assert "Content-Encoding" not in typeface.headers


def test_the_answer_to_a_tap_is_sent_as_it_is(client: FlaskClient) -> None:
    scan_badge(client, NOOR)
    job = client.post("/equipment-check").headers["Location"]
    assert client.get(job, headers=GZIP).headers["Content-Encoding"] == "gzip"
    assert "Content-Encoding" not in client.get(job, headers=GZIP | {"HX-Request": "true"}).headers
