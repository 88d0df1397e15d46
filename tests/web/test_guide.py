"""How a phone comes aboard: the pages over plain http, the root in both forms, the icons, what plain http says."""

import plistlib
import re
from pathlib import Path

import pytest
from cryptography import x509
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image

from tests.cast import NOOR, scan_badge
from webapp import tls
from webapp.config import Settings, settings
from webapp.paths import STATIC
from webapp.web.phones.guide import ON, TRUST

LAN = "http://192.168.1.20:8080"
SECURE = "https://192.168.1.20:8443"


@pytest.fixture
def shop(shop: Settings) -> Settings:
    """A shop at an address, whose authority has been made."""
    made = settings({"ADDRESS": "192.168.1.20"}, data=shop.data)
    tls.serving(made, tls.now())
    return made


def steps(client: FlaskClient, system: str, base: str = LAN) -> list[str]:
    """Every page of the way, each reached from the one before."""
    found, path = [], f"/phone/{system}/1"
    while path.startswith("/phone/"):
        page = client.get(path, base_url=base).text
        found.append(page)
        path = re.findall(r'class="button (?:main|wide)" href="([^"]+)"', page)[-1].removeprefix(SECURE)
    assert path == "/"
    return found


@pytest.mark.parametrize("system", ["android", "ios"])
def test_the_way_aboard_is_walked_over_plain_http_without_a_script(client: FlaskClient, system: str) -> None:
    begin = client.get("/phone", base_url=LAN).text
    assert f'href="/phone/{system}/1"' in begin
    assert "vouch for any site" in begin  # what trusting an authority means stands before the first step
    pages = steps(client, system)
    assert len(pages) == len(TRUST[system] + ON[system])
    assert all('<svg class="drawn"' in page and "<h1>" in page for page in pages)
    assert f'href="{SECURE}/phone/{system}/' in pages[len(TRUST[system])]


def test_a_shop_with_its_own_certificate_has_nobody_trust_anything(
    app: Flask, client: FlaskClient, shop: Settings, tmp_path: Path
) -> None:
    own = tls.serving(shop, tls.now())
    app.extensions["settings"] = settings({"TLS_CERT": str(own.chain), "TLS_KEY": str(own.key)}, data=tmp_path / "own")
    assert "vouch for any site" not in client.get("/phone", base_url=LAN).text
    assert client.get("/phone/ios/4").status_code == 404
    assert client.get("/phone/root.crt").status_code == 404


def test_a_shop_on_plain_http_alone_says_so(app: Flask, client: FlaskClient, tmp_path: Path) -> None:
    app.extensions["settings"] = settings({"HTTPS_PORT": "0"}, data=tmp_path / "plain")
    page = client.get("/phone", base_url=LAN).text
    assert "plain http alone" in page
    assert "/phone/android/1" not in page


def test_the_root_is_given_as_a_certificate_and_as_a_profile(client: FlaskClient, shop: Settings) -> None:
    file, profile = client.get("/phone/root.crt"), client.get("/phone/root.mobileconfig")
    root = x509.load_pem_x509_certificate((shop.data / "tls/root.pem").read_bytes())
    assert x509.load_der_x509_certificate(file.data) == root
    assert file.mimetype == "application/x-x509-ca-cert"
    assert profile.mimetype == "application/x-apple-aspen-config"
    said = plistlib.loads(profile.data)
    (payload,) = said["PayloadContent"]
    assert (said["PayloadType"], payload["PayloadType"]) == ("Configuration", "com.apple.security.root")
    assert x509.load_der_x509_certificate(payload["PayloadContent"]) == root
    assert said["PayloadUUID"] != payload["PayloadUUID"]
    assert client.get("/phone/root.mobileconfig").data == profile.data  # fetched twice it is the same profile
    assert b"PRIVATE" not in file.data + profile.data


NOTICE = "everything works while the shop's network is there. No camera picture"


@pytest.mark.parametrize(
    ("base", "told"),
    [
        (LAN, True),
        ("http://baybook.example", True),
        ("http://[fd00::2]:8080", True),
        (SECURE, False),
        ("http://127.0.0.2:8080", False),
        ("http://localhost:8080", False),
        ("http://[::1]:8080", False),
    ],
)
def test_over_plain_http_pages_say_what_a_phone_can_do(client: FlaskClient, base: str, told: bool) -> None:
    client.post("/badge", data={"badge": NOOR.label, "pin": NOOR.pin}, base_url=base)
    job = client.post("/equipment-check", base_url=base).headers["Location"]
    for path in ("/", "/kit", job):
        page = client.get(path, base_url=base).text.replace("&#39;", "'")
        assert (NOTICE in page, 'href="/phone"' in page) == (told, told), path
    behind_proxy = client.get("/", base_url=base, headers={"X-Forwarded-Proto": "https"}).text
    assert NOTICE not in behind_proxy


def test_a_taps_answer_is_not_made_longer_by_it(client: FlaskClient) -> None:
    scan_badge(client, NOOR)
    job = client.post("/equipment-check").headers["Location"]
    assert NOTICE not in client.get(job, base_url=LAN, headers={"HX-Request": "true"}).text


def test_the_apps_icons_are_what_the_manifest_says(client: FlaskClient) -> None:
    icons = client.get("/manifest.webmanifest", headers={"Accept": "*/*"}).get_json(force=True)["icons"]
    drawn = [icon for icon in icons if icon["type"] == "image/png"]
    assert {(icon["sizes"], icon["purpose"]) for icon in drawn} == {
        ("192x192", "any"),
        ("512x512", "any"),
        ("512x512", "maskable"),
    }
    for icon in drawn:
        with Image.open(STATIC.parent / icon["src"].lstrip("/")) as image:
            assert "{}x{}".format(*image.size) == icon["sizes"]
            colours = image.convert("RGB").getcolors(1 << 20) or []
        assert {(0xF6, 0xF3, 0xEA), (0x23, 0x4A, 0x8F), (0xA8, 0x3C, 0x06)} <= {colour for _count, colour in colours}
    with Image.open(STATIC / "icons/touch-180.png") as touch:
        assert touch.size == (180, 180)
