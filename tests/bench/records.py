"""How long it takes to print a record, and how many records are checked in a second.

Of the demo history: printed are its smallest job, of some 77 steps and 5 photos, and the smallest with 12 photos, whose
steps are some 240, in a process of its own as the server does it, start and all: one of 60 steps with 12 photos lies
between. Checked are all its records over and over, each with its photos.
"""

import json
import subprocess
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlmodel import select

from webapp.config import Settings, settings
from webapp.core.proven import check
from webapp.serve import fill_demo
from webapp.storage.engine import engine, writing
from webapp.storage.keys import decoded, public_key, signed
from webapp.storage.record_files import record_file
from webapp.storage.tables import Job

JOBS, CHECKED = 40, 1000


def run() -> dict[str, Any]:
    with TemporaryDirectory() as held:
        shop = settings({}, data=held)
        fill_demo(shop, JOBS, 1)
        files = _files(shop)
        printed = min(files, key=_steps), min((one for one in files if len(one["photos"]) >= 12), key=_steps)
        return {
            "printed": [
                {"steps": _steps(one), "photos": len(one["photos"]), "s": _printed_s(shop, one)} for one in printed
            ],
            "records_a_second": round(_checked_a_second(files), 1),
            "photos_a_record": round(sum(len(one["photos"]) for one in files) / len(files), 1),
        }


def _steps(file: dict[str, Any]) -> int:
    return len(json.loads(file["sheet"])["steps"])


def _files(shop: Settings) -> list[dict[str, Any]]:
    made = engine(shop.database_url)
    with writing(made) as db:
        jobs = db.exec(select(Job).where(Job.sort == "calibration", Job.phase == "finished")).all()
        files = [record_file(db, shop.data, shop.photos, job, job.finished_at or "") for job in jobs]
    made.dispose()
    return files


def _printed_s(shop: Settings, file: dict[str, Any]) -> float:
    job = json.loads(file["entry"])["job"]
    command = [
        sys.executable,
        "-m",
        "webapp.cli",
        "record",
        job,
        str(shop.data / "record.pdf"),
        "--data",
        str(shop.data),
    ]
    begun = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True, cwd=Path(__file__).parents[2])
    return round(time.perf_counter() - begun, 1)


def _checked_a_second(files: list[dict[str, Any]]) -> float:
    key = public_key(files[0]["key"])

    def by(signature: bytes, said: bytes) -> bool:
        return signed(key, decoded(signature.decode(), "signature", 64), said)

    begun = time.perf_counter()
    for number in range(CHECKED):
        if found := check(files[number % len(files)], by):
            raise AssertionError(found)
    return CHECKED / (time.perf_counter() - begun)
