"""Head office's OpenAPI document names every route that shops ask, and none breaks whatever it is sent."""

import json
import re
from typing import Any

import pytest
import schemathesis
from flask.testing import FlaskClient
from hypothesis import given
from schemathesis.core import NOT_SET

from tests.fuzz.conftest import fuzzing
from webapp.openapi import document
from webapp.openapi.office import PATHS

from .conftest import Office, Shop
from .test_fuzz import holds_together, send

SCHEMA = schemathesis.openapi.from_dict(document(head_office=True))
OPERATIONS = {f"{one.ok().method.upper()} {one.ok().path}": one.ok() for one in SCHEMA.get_all_operations()}
OF_OFFICE = sorted(name for name in OPERATIONS if " /office/" in name)


def test_the_document_names_every_route_that_shops_ask(office: Office) -> None:
    rules = {
        (method, re.sub(r"<(\w+)>", r"{\1}", rule.rule))
        for rule in office.app.url_map.iter_rules()
        if rule.endpoint.startswith("office.")
        for method in (rule.methods or set()) - {"OPTIONS"}
        if method != "HEAD" or "GET" not in (rule.methods or ())
    }
    assert {(method.upper(), path) for path, methods in PATHS.items() for method in methods} == rules
    assert FlaskClient(office.app).get("/openapi.json").json == document(head_office=True)
    assert not any(path.startswith("/office") for path in document()["paths"])  # a shop has none of them


@pytest.mark.parametrize("name", OF_OFFICE)
def test_no_route_breaks_and_each_answers_as_the_document_says(shop: Shop, name: str) -> None:
    operation = OPERATIONS[name]
    documented = {int(status) for status in operation.definition.raw["responses"]}
    is_signed = bool(operation.definition.raw.get("security"))

    @fuzzing
    @given(case=operation.as_strategy())
    def holds(case: Any) -> None:
        path = case.path.format(**case.path_parameters)
        body = b"" if case.body is NOT_SET else json.dumps(case.body).encode()
        given_headers = {name: str(value) for name, value in (case.headers or {}).items()}
        headers = {name: said for name, said in given_headers.items() if name.startswith("Upload") and said.isascii()}
        if is_signed:
            answer = send(shop, case.method.upper(), path, body, **headers)
        else:
            answer = FlaskClient(shop.office.app).open(path, method=case.method, json=case.body)
        assert answer.status_code in documented, answer.text[:300]
        holds_together(answer)

    holds()
