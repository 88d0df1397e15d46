"""All that the shop holds of a vehicle, as one file for its owner."""

import json
from collections.abc import Sequence
from io import BytesIO
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile

from sqlmodel import Session, col, select

from webapp.storage.arrivals import lines_of
from webapp.storage.attachments import photo_path
from webapp.storage.privacy import erasures_of
from webapp.storage.record_files import amendments
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import Attachment, Job

README = """Everything that this shop holds of the vehicle, a folder a job.

job.json        what was written down when the vehicle came
sheet.json      the steps that the job was done by
journal.jsonl   everything that was recorded, an event a line
amendments.json corrections that were added later
photos/         the pictures
"""


def owner_data(db: Session, photos: Path, jobs: Sequence[Job]) -> bytes:
    """A zip file with a folder for each job, everything in it as JSON or JPEG."""
    made = BytesIO()
    with ZipFile(made, "w", ZIP_DEFLATED) as file:
        file.writestr("README.txt", README)
        for job in jobs:
            _write_job(db, file, photos, job)
    return made.getvalue()


def _write_job(db: Session, file: ZipFile, photos: Path, job: Job) -> None:
    def put(name: str, what: Any) -> None:
        file.writestr(f"{job.id}/{name}", json.dumps(what, ensure_ascii=False, indent=1))

    put("job.json", job.model_dump(mode="json"))
    if job.sheet:
        put("sheet.json", read_sheet(db, job.sheet))
    file.writestr(f"{job.id}/journal.jsonl", "".join(f"{one.line}\n" for one in lines_of(db, job.id)))
    put("amendments.json", [one.model_dump(mode="json", exclude={"id"}) for one in amendments(db, job.id)])
    put("erased.json", [one.model_dump(mode="json", exclude={"id"}) for one in erasures_of(db, job.id)])
    named = select(Attachment.sha256).where(Attachment.job == job.id).order_by(col(Attachment.made_at))
    for name in dict.fromkeys(db.exec(named)):
        if (path := photo_path(photos, name)).is_file():
            file.write(path, f"{job.id}/photos/{name}.jpg")
