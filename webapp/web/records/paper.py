"""The record on paper: PDF/A-3 with the file in it that proves it (ISO 19005-3), signed by the shop (PAdES)."""

import json
import logging
import mimetypes
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from flask import Flask, render_template

from webapp.core.errors import NotFound
from webapp.paths import STATIC
from webapp.storage import jobs
from webapp.storage.attachments import photo_path
from webapp.storage.own_keys import RECORDS, certificate
from webapp.storage.record_files import ATTACHED, record_file
from webapp.web import db, moment
from webapp.web.paper import pdf_of
from webapp.web.records.page import told_of

DOTS_PER_INCH = 200
STEPS = 7
"""So many steps WeasyPrint counts."""


def record_pdf(
    app: Flask, job_id: str, language: str, tell: Callable[[int], object] = abs, for_owner: bool = False
) -> bytes:
    """The PDF of an ended job's record in that language, or the owner's page of it; nobody need ask for it on a page.

    `tell` hears which of the `STEPS` is reached. Raises as `record_file` does.
    """
    with app.test_request_context(headers={"Accept-Language": language}):
        app.preprocess_request()  # chooses the language
        return _record_pdf(job_id, tell, for_owner)


def _record_pdf(job_id: str, tell: Callable[[int], object], for_owner: bool) -> bytes:
    shop = db.settings()
    with db.writing() as held:
        job = jobs.job_of(held, job_id)
        file = record_file(held, shop.data, shop.photos, job, moment.now().at)
        body = "records/owner-body.html" if for_owner else "records/body.html"
        html = render_template("records/paper.html", body=body, **told_of(held, job))
    listening = _Listening(tell)
    log = logging.getLogger("weasyprint.progress")
    log.addHandler(listening)
    log.setLevel(logging.INFO)
    try:
        return _signed(_pdf(html, json.dumps(file, ensure_ascii=False), shop.photos), shop.data)
    finally:
        log.removeHandler(listening)


class _Listening(logging.Handler):
    """Takes the number out of `Step 5 - Creating layout`."""

    def __init__(self, tell: Callable[[int], object]) -> None:
        super().__init__()
        self.tell = tell

    def emit(self, record: logging.LogRecord) -> None:
        said = record.getMessage().split()
        if said[:1] == ["Step"]:
            self.tell(int(said[1]))


def _pdf(html: str, file: str, photos: Path) -> bytes:
    from weasyprint import Attachment
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class FromDisk(URLFetcher):  # type: ignore[misc] # it says nothing of its types
        """The addresses of a page, from the disk; nothing else is fetched from anywhere."""

        def fetch(self, url: str, headers: Any = None) -> URLFetcherResponse:  # noqa: ARG002 - its signature
            path = _path_of(urlsplit(url).path, photos)
            kind = mimetypes.guess_type(path.name)[0] or "application/octet-stream"
            return URLFetcherResponse(url, path.open("rb"), {"Content-Type": kind})

    attached = Attachment(string=file, name=ATTACHED, description="baybook verify", relationship="Source")
    return pdf_of(
        html,
        STATIC / "css" / "record-paper.css",
        "http://shop/",
        url_fetcher=FromDisk(),
        attachments=[attached],
        pdf_variant="pdf/a-3b",
        dpi=DOTS_PER_INCH,
    )


def _path_of(path: str, photos: Path) -> Path:
    if path.startswith("/static/") and ".." not in path:
        return STATIC / path.removeprefix("/static/")
    if path.startswith("/photos/") and path.endswith(".jpg"):
        return photo_path(photos, path.removeprefix("/photos/").removesuffix(".jpg"))
    raise NotFound("address-unknown", "address", f"address={path} is nothing that a record shows")


def _signed(pdf: bytes, folder: Path) -> bytes:
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign import signers

    signer = signers.SimpleSigner.load(folder / RECORDS, certificate(folder, RECORDS))  # type: ignore[no-untyped-call]
    if signer is None:  # pyHanko logs why
        raise RuntimeError(f"the shop's key {RECORDS} does not load for signing")
    about = signers.PdfSignatureMetadata(field_name="Shop", subfilter=None, md_algorithm="sha256")
    done = signers.sign_pdf(IncrementalPdfFileWriter(BytesIO(pdf)), about, signer)
    return bytes(done.getvalue())
