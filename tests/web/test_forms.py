"""Anti-forgery tokens and cookies: every form carries its browser's token, and nothing is done without it."""

import re
from io import BytesIO

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine
from sqlmodel import select

from tests.cast import NOOR, TOMAS, scan_badge
from webapp.paths import STATIC
from webapp.storage.engine import session
from webapp.storage.tables import Item
from webapp.web import forms

from .job import Begin
from .markup import Page
from .test_refusals import pages_of
from .test_who_may import routes
from .upload import form_with

TOO_OLD = "This form is too old, or was not made for this browser"
BARE = {forms.HEADER: ""}
SIGNED = ("/sync/batches", "/sync/choices", "/sync/photos/<sha256>", "/sync/pair")
"""What phones sign, and what is JSON: no page of another site can send either without asking first."""


@pytest.fixture
def browser(app: Flask, client: FlaskClient) -> FlaskClient:
    """A browser that sends only what a page's form holds."""
    assert client.application is app
    return FlaskClient(app, app.response_class, use_cookies=True)


def test_every_form_of_every_page_carries_the_token_of_its_browser(at: Begin, demo_engine: Engine) -> None:
    job = at("/hang-boards")
    scan_badge(job.client, TOMAS)
    with session(demo_engine) as db:
        paths = pages_of(job, list(db.exec(select(Item).order_by(Item.code))))
    token = job.client.get("/phone/token").json["token"]
    seen = 0
    for path in [*paths, "/specs/orvane-wagon/parts/about"]:
        with job.client.get(path, follow_redirects=True) as answer:
            page = Page(answer.text if answer.mimetype == "text/html" else "")
        for form in page.forms():
            if form.element.attributes.get("method") == "post":
                assert form.token == token, (path, form.element.attributes.get("action"))
                seen += 1
            else:
                assert form.token is None, path  # what is only asked for stands in the address, where no token belongs
    assert seen > 60


def test_every_form_that_a_template_can_draw_carries_it() -> None:
    templates = [*STATIC.glob("pages/*.mustache"), *STATIC.parent.glob("webapp/web/**/*.html")]
    seen = 0
    for path in templates:
        for tag in re.findall(r'<form[^>]*method="post".*\n?.*', path.read_text()):
            rest = re.sub(r"{{(?!> token).*?}}", "", tag)  # an address that a template fills in
            assert re.match(r"<form[^>]*>{{> token}}", rest) or "{{ token_field() }}" in tag, (path.name, tag)
            seen += 1
    assert seen > 50


@pytest.mark.parametrize("carried", ["", "A" * 22, "é" * 22, "another browser's"])
def test_nothing_is_done_without_the_token_whatever_the_route(
    client: FlaskClient, app: Flask, at: Begin, carried: str
) -> None:
    job = at("/hang-boards")
    scan_badge(client, TOMAS)
    if carried == "another browser's":
        carried = forms.token_of(app.config["SECRET_KEY"], "another one")
    known = {
        "job_id": job.id,
        "code": NOOR.badge,
        "vehicle": "orvane-wagon",
        "number": "1",
        "name": "x",
        "part": "about",
    }
    before, asked = job.events(), 0
    for method, rule in routes(app):
        if method == "GET" or rule in SIGNED:
            continue
        path = re.sub(r"<(?:[^<>:]*:)?([a-z0-9_]+)>", lambda found: known[found[1]], rule)
        answer = client.open(path, method=method, data={"do": "note", "text": "x", "token": carried}, headers=BARE)
        assert answer.status_code in (400, 403), rule
        assert "too old" in answer.text, rule
        asked += 1
    assert asked > 25
    assert job.events() == before


def test_a_form_is_taken_as_its_page_gave_it(browser: FlaskClient) -> None:
    page = Page(browser.get("/jobs/new").text)
    token = page.forms()[0].token
    assert token
    for sent in (
        {"data": {"vin": "0RVWA4G2XK1000417", "token": token}},
        form_with({"vin": "0RVWA4G2XK1000417", "token": token}),
    ):  # type: ignore[dict-item]
        assert browser.post("/jobs/new", **sent).status_code == 303  # type: ignore[arg-type]


def test_a_refused_form_is_offered_again_with_all_that_it_said(browser: FlaskClient) -> None:
    said = {"vin": "0RVWA4G2XK1000417", "pin": "2468", "confirmed": "0RVWA4G2XK1000417"}
    answer = browser.post("/jobs/new?a=1", **form_with(said, b"a photo"))
    assert answer.status_code == 403
    assert TOO_OLD in answer.text
    assert "2468" not in answer.text
    (again,) = [one for one in Page(answer.text).forms() if one.element["action"] == "/jobs/new?a=1"]
    assert again.fields == {"vin": said["vin"], "confirmed": said["confirmed"], "pin": ""}
    assert again.token
    assert Page(answer.text).one("input", name="photo", type="file")
    plain = browser.post("/jobs/new", data={"vin": said["vin"], "photo": (BytesIO(b""), "")})
    assert Page(plain.text).all("input", name="photo", type="file") == []  # none was chosen
    taken = browser.post("/jobs/new", data={**again.fields, "token": again.token})
    assert "/intake" in taken.headers["Location"]


def test_it_is_said_in_the_language_of_whoever_reads_it(browser: FlaskClient) -> None:
    browser.set_cookie("language", "es")
    assert "Este formulario es demasiado antiguo" in browser.post("/jobs/new").text
    told = browser.post("/jobs/new", headers={"Accept": "application/json"}).json["error"]
    assert (told["code"], told["message"][:27]) == ("form-token", "token: este formulario es d")


def test_a_tap_without_the_token_shows_the_step_with_what_was_typed(at: Begin) -> None:
    job = at("/hang-boards")
    for headers in (BARE, BARE | {"HX-Request": "true"}):
        before = job.events()
        answer = job.client.post(job.url, data={"do": "note", "text": "Bolt was loose"}, headers=headers)
        page = Page(answer.text)
        assert (answer.status_code, job.events()) == (403, before)
        assert "this form is too old" in page.alert
        assert page.value("text") == ["Bolt was loose"]
        assert page.form(do="note").token == job.client.get("/phone/token").json["token"]


def test_what_is_no_form_needs_no_token_since_no_page_can_send_it_unasked(browser: FlaskClient) -> None:
    answer = browser.post("/sync/pair", json={})
    assert "token" not in answer.text
    as_json = {"Accept": "application/json"}
    for kind in ("text/plain", None):
        told = browser.post("/sync/batches", data=b"{}", content_type=kind, headers=as_json)
        assert told.json["error"]["code"] == "form-token"
    signed = browser.post("/sync/batches", data=b"{}", headers={"Authorization": "Baybook device=x"})
    assert signed.json["error"]["code"] != "form-token"


def kept(answer_headers: list[str]) -> dict[str, set[str]]:
    found = {}
    for one in answer_headers:
        name, *about = one.split("; ")
        found[name.partition("=")[0]] = {part.partition("=")[0] if "Age" in part else part for part in about}
    return found


@pytest.mark.parametrize("base", ["https://localhost", "http://localhost"])
def test_cookies_are_no_scripts_and_over_https_this_hosts_alone(browser: FlaskClient, base: str) -> None:
    secure = base.startswith("https")
    token = Page(browser.get("/badge", base_url=base).text).forms()[0].token
    form = kept(browser.get("/badge", base_url="https://localhost" if secure else base).headers.getlist("Set-Cookie"))
    assert form == {}  # a browser keeps the name that it has
    answer = browser.post("/badge", base_url=base, data={"badge": NOOR.label, "pin": NOOR.pin, "token": token})
    language = browser.post("/language", base_url=base, data={"language": "es", "back": "/", "token": token})
    cookies = kept([*answer.headers.getlist("Set-Cookie"), *language.headers.getlist("Set-Cookie")])
    prefix = "__Host-" if secure else ""
    assert cookies.keys() == {f"{prefix}session", f"{prefix}language"}
    for name, about in cookies.items():
        assert {"HttpOnly", "Path=/"} <= about
        assert ("Secure" in about) is secure
        assert not any(one.startswith("Domain") for one in about)
        assert ("SameSite=Strict" if name.endswith("session") else "SameSite=Lax") in about
    assert NOOR.name in browser.get("/", base_url=base).text
    assert browser.get("/", base_url=base).headers["Content-Language"] == "es"


def test_a_browser_gets_its_name_once_out_of_any_scripts_sight(browser: FlaskClient) -> None:
    ((name, about),) = kept(browser.get("/badge", base_url="https://localhost").headers.getlist("Set-Cookie")).items()
    assert name == "__Host-form"
    assert {"HttpOnly", "Secure", "Path=/", "SameSite=Lax", "Max-Age"} <= about


def test_a_cookie_of_plain_http_does_not_count_over_https(browser: FlaskClient) -> None:
    """Whoever can answer for http could plant one; over https only what begins with __Host- is looked at."""
    token = Page(browser.get("/badge").text).forms()[0].token
    assert browser.post("/badge", data={"badge": NOOR.label, "pin": NOOR.pin, "token": token}).status_code == 303
    cookie = browser.get_cookie("session")
    assert cookie
    assert NOOR.name in browser.get("/").text
    other = FlaskClient(browser.application, browser.response_wrapper, use_cookies=False)
    headers = {"Cookie": f"session={cookie.value}"}
    assert NOOR.name not in other.get("/", base_url="https://localhost", headers=headers).text
    assert NOOR.name in other.get("/", headers=headers).text


def test_a_message_for_the_next_page_is_told_once_to_every_request_that_carries_its_cookie(
    client: FlaskClient, at: Begin
) -> None:
    """A session that is known by its text must not hand out the same list twice, to be added to by both."""
    at("/hang-boards")
    scan_badge(client, TOMAS)
    for _ in range(2):
        client.post("/sync/asides/999?to=/phones/arrivals", data={"do": "leave-out", "reason": "x"})
    cookie = client.get_cookie("session")
    assert cookie
    other = FlaskClient(client.application, client.response_wrapper, use_cookies=False)
    headers = {"Cookie": f"session={cookie.value}"}
    told = [len(Page(other.get("/phones/arrivals", headers=headers).text).all(role="alert")) for _ in range(3)]
    assert told[0] == told[1] == told[2] > 0
