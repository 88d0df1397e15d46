"""The app's own OpenAPI document names every route that speaks JSON, and none of them breaks whatever it is sent."""

import re
from io import BytesIO
from typing import Any
from urllib.parse import quote, urlencode

import pytest
import schemathesis
from flask import Flask
from hypothesis import given
from hypothesis import strategies as st
from schemathesis.core import NOT_SET

from tests.cast import TOMAS, scan_badge
from tests.sync.conftest import Exchange, Opened, opened, sync_database  # noqa: F401 - fixtures
from tests.sync.phone import Phone
from webapp.openapi import document
from webapp.openapi.shop import PATHS

from .conftest import fuzzing

SCHEMA = schemathesis.openapi.from_dict(document())
OPERATIONS = {f"{one.ok().method.upper()} {one.ok().path}": one.ok() for one in SCHEMA.get_all_operations()}


@pytest.fixture
def at(opened: Opened) -> Exchange:  # noqa: F811
    return opened()


def test_the_document_names_every_route_that_answers_in_json(app: Flask, at: Exchange) -> None:
    documented = {(method.upper(), path) for path, methods in PATHS.items() for method in methods}
    job = at.job()
    known = {"job_id": job, "code": "en", "sha256": "0" * 64, "number": "1"}
    seen = set()
    for rule in app.url_map.iter_rules():
        path = re.sub(r"<(?:[^<>:]*:)?([a-z0-9_]+)>", r"{\1}", rule.rule)
        for method in (rule.methods or set()) - {"OPTIONS"}:
            if method == "HEAD" and "GET" in (rule.methods or ()):
                continue
            answers_json = rule.rule.startswith("/sync/") or rule.endpoint.startswith("pwa.read")
            is_page = method == "GET" and not rule.rule.startswith(("/sync/", "/static/"))
            if is_page and set(rule.arguments) <= set(known):
                with at.client.get(rule.rule.replace("<code>", "en").replace("<job_id>", job)) as answer:
                    answers_json |= answer.status_code == 200 and answer.mimetype.endswith(("/json", "+json"))
            if answers_json:
                seen.add((method, path))
                assert (method, path) in documented
    of_ended_jobs = {("GET", "/jobs/{job_id}/record.json")}
    assert documented - seen - of_ended_jobs == {("POST", "/phone/witness")}
    assert at.client.get("/openapi.json").json == document()


def send(at: Exchange, phone: Phone, case: Any) -> Any:
    """The generated request, signed where the document says that a phone signs it."""
    path = case.path.format(**{name: quote(str(value), safe="") or "x" for name, value in case.path_parameters.items()})
    query = urlencode({name: str(value) for name, value in (case.query or {}).items()})
    path = f"{path}?{query}" if query else path
    body = b"" if case.body is NOT_SET else case.body
    if case.operation.definition.raw.get("security"):
        headers = {name.replace("-", "_"): str(value) for name, value in (case.headers or {}).items()}
        about = {name: value for name, value in headers.items() if name.startswith("Upload") and value.isascii()}
        return phone.request(case.method.upper(), path, body, **about).arrive(at.client)
    if case.media_type == "multipart/form-data":
        fields = {name: value if isinstance(value, bytes) else str(value) for name, value in dict(body).items()}
        form = {name: (BytesIO(value), "file") if isinstance(value, bytes) else value for name, value in fields.items()}
        return at.client.open(path, method=case.method, data=form)
    return at.client.open(path, method=case.method, **({"json": body} if case.media_type else {}))


@pytest.mark.parametrize("name", sorted(OPERATIONS))
def test_no_route_breaks_and_each_answers_as_the_document_says(at: Exchange, name: str) -> None:
    operation = OPERATIONS[name]
    scan_badge(at.client, TOMAS)
    phone = at.phone(at.job())
    documented = {int(status) for status in operation.definition.raw["responses"]}

    @fuzzing
    @given(case=operation.as_strategy())
    def holds(case: Any) -> None:
        with send(at, phone, case) as answer:
            assert answer.status_code in documented | {404, 405}, answer.text[:300]
            # An address that is none at all, as with a number larger than any, reaches no route.
            reached = answer.is_json or answer.status_code not in (404, 405)
            if answer.status_code >= 400 and reached and answer.text and case.path.startswith("/sync/"):
                assert set(answer.json["error"]) == {"code", "field", "message"}

    holds()


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=20,
)


@pytest.mark.parametrize("path", ["/sync/batches", "/sync/choices", "/sync/sign-ins", "/sync/pair"])
def test_a_body_of_any_shape_is_refused_and_breaks_nothing(at: Exchange, path: str) -> None:
    phone = at.phone(at.job())
    names = st.sampled_from(
        ["events", "jobs", "mono_s", "choices", "sign_ins", "at_work", "take", "code", "key", "name"]
    )

    @fuzzing
    @given(body=JSON | st.dictionaries(names, JSON, max_size=4) | st.binary(max_size=200))
    def holds(body: Any) -> None:
        answer = phone.request("POST", path, body).arrive(at.client)
        assert answer.status_code < 500, answer.text[:300]
        if answer.status_code >= 400:
            assert set(answer.json["error"]) == {"code", "field", "message"}

    holds()
