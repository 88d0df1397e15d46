"""What the shop holds of a vehicle's owner: erased it is nowhere to be found, and everything else is as it was."""

import hashlib
import json
import zipfile
from dataclasses import replace
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from PIL import Image
from sqlalchemy.engine import Engine
from sqlmodel import Session, col, select

from webapp.cli import main
from webapp.config import Settings, settings
from webapp.core import merkle
from webapp.core.errors import Conflict
from webapp.core.fold import fold
from webapp.core.proven import check, entry_of
from webapp.retention import retain
from webapp.storage import log, privacy
from webapp.storage.arrivals import lines_of
from webapp.storage.attachments import attach, photo_path, write_photo
from webapp.storage.engine import session, writing
from webapp.storage.journal import append_next, events_of
from webapp.storage.log_tables import Amendment, LogEntry
from webapp.storage.owner_data import owner_data
from webapp.storage.privacy_tables import Erasure
from webapp.storage.record_files import record_file
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import Attachment, Job, JobTime, StepTime
from webapp.storage.time_tables import PackedTime
from webapp.storage.times import rebuild

from .test_log import by_key

AT = "2026-11-01T08:00:00.000Z"
WHY = "The owner asked for it."
NOTED = "Owner's number plate noted by mistake"


def of_owner(db: Session) -> Job:
    """A finished job with photos, amended, whose vehicle was here once."""
    named = select(Job).join(Attachment, col(Attachment.job) == Job.id)
    found = db.exec(named.where(Job.phase == "finished", Job.sort == "calibration").order_by(Job.id)).first()
    assert found is not None
    return found


@pytest.fixture
def job(history_engine: Engine, shop: Settings) -> Job:
    """That job, with a note of what was typed, a picture that no other job has, and an amendment."""
    picture = write_photo(shop.photos, Image.effect_noise((64, 48), 90))
    with writing(history_engine) as db:
        found = of_owner(db)
        newest, event = events_of(db, found.id)[-1]
        data = {"text": NOTED, "answer": {"asked": f'["baybook-ask-1","{found.repair_order}"]', "text": NOTED}}
        about = {"device": "server", "person": None, "kind": "noted", "step": None, "data": data}
        note = replace(event, id="note-of-the-owner", **about)  # type: ignore[arg-type]
        added = append_next(db.connection(), note, newest, None)
        assert added
        attach(db, picture, added[0])
        made = Amendment(job=found.id, number=1, at=AT, by="DH6RM4", reason=NOTED, text=NOTED)
        db.add(made)
        db.flush()
        log.enter(db, found, made)
    return found


def times(engine: Engine) -> list[Any]:
    """Everything that statistics are made of."""
    with session(engine) as db:
        packed = [(one.job, one.head, one.types, one.steps, one.causes) for one in db.exec(select(PackedTime))]
    return sorted(packed) + rows_of_times(engine)


def rows_of_times(engine: Engine) -> list[Any]:
    with session(engine) as db:
        every = [one for table in (JobTime, StepTime) for one in db.exec(select(table))]
    return sorted((one.model_dump(exclude={"seq", "id"}) for one in every), key=str)


def erase(engine: Engine, shop: Settings, job: Job, what: tuple[str, ...] = privacy.WHAT) -> list[str]:
    with writing(engine) as db:
        left = privacy.erase(db, [db.get_one(Job, job.id)], what, "DQ3WC8", WHY, AT)
    privacy.forget_files(shop.data, shop.photos, left)
    privacy.press(engine)
    return left


def photos_of(engine: Engine, job: Job) -> list[str]:
    with session(engine) as db:
        return list(db.exec(select(Attachment.sha256).where(Attachment.job == job.id)))


def anywhere(folder: Path, *what: str) -> list[Path]:
    """The files below the folder that hold any of it, the database's own and those beside it."""
    wanted = [one.encode() for one in what]
    return [path for path in folder.rglob("*") if path.is_file() and any(one in path.read_bytes() for one in wanted)]


@pytest.mark.sqlite
def test_what_was_erased_is_nowhere_in_the_shops_folder(history_engine: Engine, shop: Settings, job: Job) -> None:
    names = photos_of(history_engine, job)
    pictures = [photo_path(shop.photos, name).read_bytes() for name in names]
    with session(history_engine) as db:
        salted = read_sheet(db, job.sheet or "")
        typed = {
            one.data[name] for _, one in events_of(db, job.id) for name in ("text", "reason")
            if one.kind not in privacy.CHOSEN and one.data.get(name)
        }  # fmt: skip
    assert salted["job"]["vin"] == job.vin
    secrets = (job.vin, job.repair_order, NOTED)
    assert anywhere(shop.data, job.vin)
    left = erase(history_engine, shop, job)
    assert anywhere(shop.data, *secrets) == []
    with session(history_engine) as db:
        said = "".join(one.line for one in lines_of(db, job.id))
    assert [one for one in typed if json.dumps(one, ensure_ascii=False)[1:-1] in said] == []
    assert left
    assert [name for name in left if photo_path(shop.photos, name).exists()] == []
    on_disk = {path.read_bytes() for path in shop.photos.rglob("*") if path.is_file()}
    assert [name for name, data in zip(names, pictures, strict=True) if name in left and data in on_disk] == []


def test_statistics_are_the_same_and_can_be_made_anew(history_engine: Engine, shop: Settings, job: Job) -> None:
    before = times(history_engine)
    erase(history_engine, shop, job)
    assert times(history_engine) == before
    rebuild(history_engine)
    with session(history_engine) as db:
        state = fold(read_sheet(db, db.get_one(Job, job.id).sheet or ""), [one for _, one in events_of(db, job.id)])
    assert rows_of_times(history_engine) == [one for one in before if isinstance(one, dict)]
    assert state.phase == "finished"


def test_the_log_and_what_was_handed_out_hold_as_before(history_engine: Engine, shop: Settings, job: Job) -> None:
    with writing(history_engine) as db:
        handed_out = record_file(db, shop.data, shop.photos, db.get_one(Job, job.id), AT)
        entries = [one.text for one in db.exec(select(LogEntry).order_by(col(LogEntry.number)))]
        head = log.head(db, shop.data, AT)
    erase(history_engine, shop, job)
    assert check(handed_out, by_key(handed_out["key"])) == []
    with writing(history_engine) as db:
        now = list(db.exec(select(LogEntry).order_by(col(LogEntry.number))))
        assert [one.text for one in now[:-1]] == entries
        last = entry_of(now[-1].text)
        stood = entry_of(handed_out["entry"])
        assert (last.why, last.sheet, last.journal, last.events) == ("erased", stood.sheet, stood.journal, stood.events)
        newer = log.head(db, shop.data, AT)
        proof = log.consistency(db, head.size, newer.size)
        first, last_root = bytes.fromhex(head.root), bytes.fromhex(newer.root)
        path = [bytes.fromhex(one) for one in proof]
        assert merkle.continues(head.size, first, newer.size, last_root, path)
        with pytest.raises(Conflict, match="personal data was erased on 2026-11-01"):
            record_file(db, shop.data, shop.photos, db.get_one(Job, job.id), AT)


def test_the_journals_digest_stays_the_one_that_the_log_has(history_engine: Engine, shop: Settings, job: Job) -> None:
    with session(history_engine) as db:
        before = [(one.device, one.seq, one.sha256) for one in lines_of(db, job.id)]
    erase(history_engine, shop, job)
    with session(history_engine) as db:
        after = lines_of(db, job.id)
        assert [(one.device, one.seq, one.sha256) for one in after] == before
        changed = [one for one in after if hashlib.sha256(one.line.encode()).hexdigest() != one.sha256]
    assert changed  # something was typed on this job, or this test says nothing


def test_the_chain_goes_on_behind_what_was_erased(history_engine: Engine, shop: Settings, job: Job) -> None:
    with session(history_engine) as db:
        note = next(one for one in lines_of(db, job.id) if NOTED in one.line)
    erase(history_engine, shop, job)
    with writing(history_engine) as db:
        newest, event = events_of(db, job.id)[-1]
        added = append_next(db.connection(), replace(event, id="after-it"), newest, None)
    assert added
    assert (added[0].device, added[0].before) == ("server", note.sha256)


def test_it_is_written_down_that_it_was_done_and_not_what_it_was(
    history_engine: Engine, shop: Settings, job: Job
) -> None:
    erase(history_engine, shop, job)
    with session(history_engine) as db:
        (row,) = privacy.erasures_of(db, job.id)
        assert (row.what, row.by, row.reason, row.at) == (["vehicle", "photos"], "DQ3WC8", WHY, AT)
        assert privacy.erased(db) == [job.id]
        assert privacy.jobs_of_vehicle(db, job.vin) == []


def test_the_sheets_own_salt_goes_with_the_vin(history_engine: Engine, shop: Settings, job: Job) -> None:
    """Without it, whoever has the rest of the sheet could find the VIN by trying: there are not many."""
    with writing(history_engine) as db:
        found = db.get_one(Job, job.id)
        sheet = read_sheet(db, found.sheet or "")
        salted = sheet | {"job": sheet["job"] | {"salt": "ab" * 16}}
        found.sheet = privacy.keep_sheet(db, salted)
        db.add(found)
    erase(history_engine, shop, job)
    with session(history_engine) as db:
        now = read_sheet(db, db.get_one(Job, job.id).sheet or "")
    assert "salt" not in now["job"]
    assert now["steps"] == salted["steps"]
    assert anywhere(shop.data, "ab" * 16) == []


def test_what_is_still_to_come_is_not_erased(history_engine: Engine, shop: Settings, job: Job) -> None:
    with writing(history_engine) as db:
        found = db.get_one(Job, job.id)
        found.phase = "open"
        db.add(found)
    with pytest.raises(Conflict, match="is still open; end it or drop it first"), writing(history_engine) as db:
        privacy.erase(db, [db.get_one(Job, job.id)], privacy.WHAT, "DQ3WC8", WHY, AT)
    with session(history_engine) as db:
        assert db.get_one(Job, job.id).vin == job.vin
        assert db.exec(select(Erasure)).all() == []


def test_photos_alone_can_go(history_engine: Engine, shop: Settings, job: Job) -> None:
    left = erase(history_engine, shop, job, (privacy.PHOTOS,))
    with session(history_engine) as db:
        assert db.get_one(Job, job.id).vin == job.vin
    assert left
    assert [name for name in left if photo_path(shop.photos, name).exists()] == []


def test_the_owner_gets_all_of_it(history_engine: Engine, shop: Settings, job: Job, tmp_path: Path) -> None:
    with session(history_engine) as db:
        data = owner_data(db, shop.photos, privacy.jobs_of_vehicle(db, job.vin.lower()))
        lines = [one.line for one in lines_of(db, job.id)]
    file = zipfile.ZipFile(BytesIO(data))
    assert json.loads(file.read(f"{job.id}/job.json"))["vin"] == job.vin
    assert file.read(f"{job.id}/journal.jsonl").decode().splitlines() == lines
    assert json.loads(file.read(f"{job.id}/sheet.json"))["job"]["id"] == job.id
    assert json.loads(file.read(f"{job.id}/amendments.json"))[0]["text"] == NOTED
    for name in photos_of(history_engine, job):
        assert file.read(f"{job.id}/photos/{name}.jpg") == photo_path(shop.photos, name).read_bytes()
    path, where = tmp_path / "owner.zip", {"DATABASE_URL": shop.database_url}
    said = CliRunner().invoke(main, ["owner-data", job.vin, str(path), "--data", str(shop.data)], env=where)
    assert "has what this shop holds of the vehicle, 1 jobs." in said.output
    assert sorted(zipfile.ZipFile(path).namelist()) == sorted(file.namelist())
    said = CliRunner().invoke(main, ["owner-data", "0" * 17, str(path), "--data", str(shop.data)], env=where)
    assert (said.exit_code, "holds no job on a vehicle" in said.output) == (2, True)


def test_each_kind_goes_when_the_shop_has_kept_it_as_long_as_it_says(
    history_engine: Engine, shop: Settings, job: Job
) -> None:
    before = times(history_engine)
    now = datetime(2026, 3, 7, 12, tzinfo=UTC)
    keeps = settings(
        {"DATA": str(shop.data), "DATABASE_URL": shop.database_url, "KEEP_VEHICLE": "0", "KEEP_PHOTOS": "1"}
    )
    with session(history_engine) as db:
        due = privacy.ended_before(db, "2026-03-06T12:00:00.000Z", privacy.PHOTOS)
    assert len(due) > 20
    assert retain(keeps, now).startswith(f"Personal data of {len(due)} jobs was erased")
    with session(history_engine) as db:
        assert {one.by for one in db.exec(select(Erasure))} == {"retention"}
        assert db.exec(select(Attachment).where(col(Attachment.job).in_([one.id for one in due]))).all() == []
        assert db.get_one(Job, job.id).vin == job.vin
    assert retain(keeps, now).startswith("Personal data of 0 jobs")
    vehicles = settings(
        {"DATA": str(shop.data), "DATABASE_URL": shop.database_url, "KEEP_VEHICLE": "1", "KEEP_PHOTOS": "0"}
    )
    assert retain(vehicles, now).startswith(f"Personal data of {len(due)} jobs was erased")
    assert anywhere(shop.data, job.vin) == []
    assert times(history_engine) == before
    for_good = settings(
        {"DATA": str(shop.data), "DATABASE_URL": shop.database_url, "KEEP_VEHICLE": "0", "KEEP_PHOTOS": "0"}
    )
    assert retain(for_good, datetime(2099, 1, 1, tzinfo=UTC)).startswith("Personal data of 0 jobs")
    default = settings({"DATA": str(shop.data), "DATABASE_URL": shop.database_url})
    assert (default.keep_vehicle_days, default.keep_photos_days) == (3650, 3650)
