"""The outbox's page of a shop that sends nothing to anybody; tests/office has the others."""

from flask.testing import FlaskClient

from tests.cast import ADA, NOOR, scan_badge

from .markup import Page


def test_a_shop_without_head_office_reads_how_to_join_one(pages: FlaskClient) -> None:
    scan_badge(pages, ADA)
    assert "baybook join" in Page(pages.get("/outbox").text).text
    assert pages.post("/outbox/now").status_code == 404


def test_it_is_for_those_who_look_after_the_shop(pages: FlaskClient) -> None:
    scan_badge(pages, NOOR)
    assert pages.get("/outbox").status_code == 403
