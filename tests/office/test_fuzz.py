"""Whatever a shop sends: it is taken or refused in the one shape of errors, and nothing breaks."""

import copy
import json
from typing import Any

import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from tests.fuzz.conftest import fuzzing
from webapp.storage.keys import encoded, sign
from webapp.storage.own_keys import RECORDS, private_key
from webapp.sync.signed import under

from .conftest import NOW, Office, Shop

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=20,
)
SIGNED_ROUTES = (
    ("GET", "/office/standing"),
    ("POST", "/office/bundles"),
    ("PUT", "/office/kit"),
    ("GET", "/office/releases/newest"),
    ("GET", f"/office/releases/files/{'0' * 64}"),
    ("POST", "/office/releases/answers"),
    ("HEAD", f"/office/photos/{'0' * 64}"),
    ("PATCH", f"/office/photos/{'0' * 64}"),
)


def send(shop: Shop, method: str, path: str, body: bytes, **headers: str) -> Any:
    signature = encoded(sign(private_key(shop.settings.data, RECORDS), under(method, path, NOW, body)))
    who = {"Authorization": f"Baybook shop={shop.name()}, at={NOW}, signature={signature}"}
    return FlaskClient(shop.office.app).open(path, method=method, data=body, headers=who | headers)


def holds_together(answer: Any) -> None:
    assert answer.status_code < 500, answer.text[:300]
    if answer.status_code >= 400 and answer.text:
        assert set(answer.json["error"]) == {"code", "field", "message"}


def places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Every place in a JSON value, by the way to it."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(place for name, one in inner for place in places(one, (*path, name)))]


def with_another(whole: Any, place: tuple[Any, ...], value: Any) -> bytes:
    """The same JSON with another value in one place."""
    spoiled = copy.deepcopy(whole)
    inside = spoiled
    for name in place[:-1]:
        inside = inside[name]
    inside[place[-1]] = value
    return json.dumps(spoiled).encode()


def test_every_route_is_known_here(office: Office) -> None:
    rules = {
        (method, rule.rule)
        for rule in office.app.url_map.iter_rules()
        if rule.endpoint.startswith("office.")
        for method in (rule.methods or set()) - {"OPTIONS"}
    }
    rules -= {(method, rule) for method, rule in rules if method == "HEAD" and ("GET", rule) in rules}
    named = {(method, path.replace("0" * 64, "<sha256>")) for method, path in SIGNED_ROUTES}
    assert rules == named | {("POST", "/office/join")}


@pytest.mark.parametrize(("method", "path"), SIGNED_ROUTES)
def test_who_does_not_sign_gets_nothing(office: Office, shop: Shop, method: str, path: str) -> None:
    headers = {"Content-Type": "application/json"}
    assert FlaskClient(office.app).open(path, method=method, data=b"{}", headers=headers).status_code == 401
    wrong = {"Authorization": f"Baybook shop={shop.name()}, at={NOW}, signature={'A' * 86}"}
    assert FlaskClient(office.app).open(path, method=method, data=b"{}", headers=wrong).status_code == 401


def test_a_body_of_any_shape(shop: Shop) -> None:
    @fuzzing
    @given(body=JSON.map(lambda one: json.dumps(one).encode()) | st.binary(max_size=200), packed=st.booleans())
    def holds(body: bytes, packed: bool) -> None:
        headers = {"Content-Encoding": "gzip"} if packed else {}
        holds_together(send(shop, "POST", "/office/bundles", body, **headers))
        holds_together(send(shop, "POST", "/office/releases/answers", body))
        holds_together(send(shop, "PUT", "/office/kit", body))
        holds_together(
            FlaskClient(shop.office.app).post("/office/join", data=body, headers={"Content-Type": "application/json"})
        )

    holds()


def test_a_bundle_that_is_spoiled_anywhere(office: Office, shop: Shop) -> None:
    whole = shop.bundle()
    everywhere = places(whole)

    @fuzzing
    @given(place=st.sampled_from(everywhere[1:]), value=JSON)
    def holds(place: tuple[Any, ...], value: Any) -> None:
        holds_together(send(shop, "POST", "/office/bundles", with_another(whole, place, value)))

    holds()
    shop.drain()
    assert office.count("entry") == shop.size()


def test_answers_that_are_spoiled_anywhere(office: Office, shop: Shop) -> None:
    answer = {"id": 1, "number": 1, "decision": "approved", "at": NOW, "by": "Ada", "why": ""}
    whole = {"answers": [answer], "works_by": 1}
    everywhere = places(whole)

    @fuzzing
    @given(place=st.sampled_from(everywhere[1:]), value=JSON)
    def holds(place: tuple[Any, ...], value: Any) -> None:
        holds_together(send(shop, "POST", "/office/releases/answers", with_another(whole, place, value)))

    holds()
    assert send(shop, "POST", "/office/releases/answers", json.dumps(whole).encode()).status_code == 200
    assert office.count("release_answer") > 0  # whatever came before, the good one is taken


@pytest.mark.parametrize("method", ["HEAD", "PATCH"])
def test_a_photo_of_any_name_and_size(shop: Shop, method: str) -> None:
    @fuzzing
    @given(name=st.text("0123456789abcdef/.%", max_size=70), offset=st.text(max_size=14), total=st.integers(-1, 10**13))
    def holds(name: str, offset: str, total: int) -> None:
        about = {
            "Upload-Offset": offset if offset.isascii() and offset.isprintable() else "0",
            "Upload-Length": str(total),
        }
        answer = send(shop, method, f"/office/photos/{name}", b"x" if method == "PATCH" else b"", **about)
        assert answer.status_code < 500, answer.text[:300]

    holds()
