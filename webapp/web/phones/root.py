"""The root of the shop's own authority, as Android and as iOS take it. Its key stays in the data folder."""

import plistlib
from pathlib import Path
from uuid import NAMESPACE_URL, uuid5

from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding
from flask import Response

from webapp import certificates, tls
from webapp.core.errors import NotFound
from webapp.messages import say
from webapp.web import db
from webapp.web.phones import pages

FILE = "baybook-shop"


@pages.get("/phone/root.crt")
def give_root() -> Response:
    """The certificate itself (DER)."""
    return _given(_root().public_bytes(Encoding.DER), "crt", "application/x-x509-ca-cert")


@pages.get("/phone/root.mobileconfig")
def give_profile() -> Response:
    """The same in a configuration profile, the one form in which iOS takes a root from a browser."""
    root = _root()
    name = str(uuid5(NAMESPACE_URL, certificates.fingerprint(_path())))
    common = {"PayloadVersion": 1, "PayloadDisplayName": say("guide-root-name")}
    certificate = common | {
        "PayloadType": "com.apple.security.root",
        "PayloadIdentifier": f"baybook.{name}.root",
        "PayloadUUID": str(uuid5(NAMESPACE_URL, f"{name} root")),
        "PayloadCertificateFileName": f"{FILE}.crt",
        "PayloadContent": root.public_bytes(Encoding.DER),
    }
    profile = common | {
        "PayloadType": "Configuration",
        "PayloadIdentifier": f"baybook.{name}",
        "PayloadUUID": name,
        "PayloadDescription": say("guide-root-what"),
        "PayloadContent": [certificate],
    }
    return _given(plistlib.dumps(profile), "mobileconfig", "application/x-apple-aspen-config")


def _path() -> Path:
    if (path := tls.root_of(db.settings())) is None:
        what = "This shop has no authority of its own: it serves plain http alone, or with files that it was given"
        raise NotFound("root-unknown", "root", what)
    return path


def _root() -> x509.Certificate:
    return x509.load_pem_x509_certificate(_path().read_bytes())


def _given(data: bytes, ending: str, media: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{FILE}.{ending}"', "Cache-Control": "no-store"}
    return Response(data, mimetype=media, headers=headers)
