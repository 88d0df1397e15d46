"""A job's files: its journal, its photos, the record that proves itself, and the key that it takes to check one."""

import json

from flask import Response, send_file

from webapp.core.errors import NotFound, shown
from webapp.core.replay import journal_lines
from webapp.storage import attachments, jobs
from webapp.storage.journal import events_of
from webapp.storage.progress import progress_of
from webapp.storage.record_files import public_jwk, record_file
from webapp.web import db, moment
from webapp.web.records import pages


@pages.get("/jobs/<job_id>/journal.jsonl")
def show_journal(job_id: str) -> Response:
    """The job's sheet and events as one file, which `baybook replay` folds."""
    with db.session() as held:
        progress = progress_of(held, job_id)
        lines = list(journal_lines(progress.sheet, [event for _seq, event in events_of(held, job_id)]))
    headers = {"Content-Disposition": f'attachment; filename="job-{job_id}.jsonl"'}
    return Response("\n".join(lines) + "\n", mimetype="application/jsonl", headers=headers)


@pages.get("/photos/<sha256>.jpg")
def show_photo(sha256: str) -> Response:
    path = attachments.photo_path(db.settings().photos, sha256)
    if not path.is_file():
        raise NotFound("photo-unknown", "photo", f"photo={shown(sha256)} is not kept here")
    return send_file(path, mimetype=attachments.MEDIA, max_age=31_536_000)


@pages.get("/jobs/<job_id>/record.json")
def show_file(job_id: str) -> Response:
    """The record with its photos and the log's proof, which `baybook verify` checks."""
    shop = db.settings()
    with db.writing() as held:
        made = record_file(held, shop.data, shop.photos, jobs.job_of(held, job_id), moment.now().at)
    text = json.dumps(made, ensure_ascii=False, separators=(",", ":"))
    headers = {"Content-Disposition": f'attachment; filename="record-{job_id}.json"'}
    return Response(text, mimetype="application/json", headers=headers)


@pages.get("/record-key.json")
def show_key() -> Response:
    """The public half of the shop's key: whoever has it can check a record, wherever they are."""
    headers = {"Content-Disposition": 'attachment; filename="record-key.json"'}
    return Response(json.dumps(public_jwk(db.settings().data)), mimetype="application/jwk+json", headers=headers)
