"""A record handed out: as a file and as PDF that prove themselves, by the code on it, and amended after the end."""

import fcntl
import json
import subprocess
from contextlib import suppress
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
import zxingcpp
from click.testing import CliRunner
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image
from pypdf import PdfReader, PdfWriter
from sqlalchemy.engine import Engine
from sqlmodel import select

from tests.cast import ADA, ILYA, NOOR, scan_badge
from webapp.cli import main
from webapp.config import Settings
from webapp.storage.engine import session
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import Job
from webapp.web.records import making
from webapp.web.records.paper import record_pdf

from .job import AtJob, Begin
from .markup import Page

WRONG_BY = "Odometer was 48120, not 48210."


@pytest.fixture
def ended(at: Begin) -> AtJob:
    """A job with photos that its technician has brought to its end, all done."""
    job = at("/lamps-photo", NOOR)
    job.tap("leave-undone", reason="The camera is fogged.")
    job.tap("confirm")
    job.tap("countersign", badge=ADA.label, pin=ADA.pin)
    assert job.send({"do": "finish", "badge": ADA.label, "pin": ADA.pin}).status_code == 303
    return job


@pytest.fixture
def key(ended: AtJob, client: FlaskClient, tmp_path: Path) -> Path:
    path = tmp_path / "key.json"
    path.write_bytes(client.get("/record-key.json").data)
    return path


def verified(content: bytes, key: Path) -> dict[str, Any]:
    file = key.with_name("record")
    file.write_bytes(content)
    result = CliRunner().invoke(main, ["verify", str(file), "--key", str(key)])
    answer: dict[str, Any] = json.loads(result.output)
    assert result.exit_code == (0 if answer["unchanged"] else 2)
    return answer


def codes(content: bytes, key: Path) -> list[str]:
    return [one["code"] for one in verified(content, key)["findings"]]


def pdf_of(app: Flask, ended: AtJob) -> bytes:
    return record_pdf(app, ended.url.rpartition("/")[2], "en")


def test_the_file_proves_itself_and_no_longer_when_something_is_changed(
    ended: AtJob, client: FlaskClient, key: Path
) -> None:
    content = client.get(f"{ended.url}/record.json").data
    answer = verified(content, key)
    assert (answer["unchanged"], answer["job"]) == (True, ended.url.rpartition("/")[2])
    assert json.loads(content)["photos"]
    assert codes(content.replace(b"The camera is fogged.", b"The camera was clear."), key) == [
        "chain-broken",
        "journal-changed",
    ]


def test_the_pdf_is_an_archive_document_that_carries_the_file(app: Flask, ended: AtJob, key: Path) -> None:
    pdf = pdf_of(app, ended)
    reader = PdfReader(BytesIO(pdf))
    told = reader.xmp_metadata
    assert told is not None
    assert b'pdfaid:part="3" pdfaid:conformance="B"' in told.stream.get_data()
    assert "/OutputIntents" in reader.root_object
    assert reader.root_object["/AF"][0].get_object()["/AFRelationship"] == "/Source"
    assert not reader.is_encrypted
    fonts = [font.get_object() for page in reader.pages for font in page["/Resources"]["/Font"].values()]
    assert fonts
    for font in fonts:
        described = font["/DescendantFonts"][0].get_object()["/FontDescriptor"].get_object()
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & described.keys()
    text = " ".join(page.extract_text() for page in reader.pages)
    for said in ("RO 20417", "Noor Brandt", "The camera is fogged.", f"1 / {len(reader.pages)}"):
        assert said in text
    assert verified(pdf, key)["unchanged"]


def test_a_pdf_that_was_touched_is_found(app: Flask, ended: AtJob, key: Path, tmp_path: Path) -> None:
    pdf = pdf_of(app, ended)
    at = pdf.index(b"endstream") - 20
    assert codes(pdf[:at] + bytes([pdf[at] ^ 1]) + pdf[at + 1 :], key)
    # Added to in the way of the format itself, which leaves every signed byte as it was.
    writer = PdfWriter(BytesIO(pdf), incremental=True)
    writer.add_metadata({"/Title": "Another"})
    added = BytesIO()
    writer.write(added)
    assert codes(added.getvalue(), key) == ["pdf-changed"]
    # Printed anew, with the file still in it.
    anew = BytesIO()
    PdfWriter(clone_from=BytesIO(pdf)).write(anew)
    assert codes(anew.getvalue(), key) != []
    without = PdfWriter()
    without.add_blank_page(100, 100)
    bare = BytesIO()
    without.write(bare)
    assert codes(bare.getvalue(), key) == ["record-format"]


def test_the_pdf_is_made_in_the_background_and_the_page_tells_how_far(
    ended: AtJob, client: FlaskClient, shop: Settings, key: Path, tmp_path: Path
) -> None:
    answer = client.get(f"{ended.url}/record.pdf")
    assert answer.status_code == 202
    assert Page(answer.text).all("progress")
    while (answer := client.get(f"{ended.url}/record.pdf")).status_code == 202:
        for begun in (shop.data / "records").glob("*.making"):
            with suppress(FileNotFoundError), begun.open() as held:
                fcntl.flock(held, fcntl.LOCK_SH)  # waits for whoever makes it
    with answer:
        assert answer.status_code == 200
        assert answer.mimetype == "application/pdf"
        assert verified(answer.data, key)["unchanged"]
    path, where = tmp_path / "another" / "mine.pdf", {"DATABASE_URL": shop.database_url}
    said = CliRunner().invoke(
        main, ["record", ended.url.rpartition("/")[2], str(path), "--data", str(shop.data)], env=where
    )
    assert "kB" in said.output
    assert verified(path.read_bytes(), key)["unchanged"]
    said = CliRunner().invoke(main, ["record", "no-such-job", str(path), "--data", str(shop.data)])
    assert said.exit_code == 2
    assert "job='no-such-job' is not known here" in said.output


def test_a_job_that_goes_on_has_nothing_to_hand_out(at: Begin, client: FlaskClient) -> None:
    job = at("/lamps-photo", NOOR)
    for name in ("record.json", "record.pdf"):
        answer = client.get(f"{job.url}/{name}")
        assert answer.status_code == 409
        assert "has not ended" in answer.text
    assert client.post(f"{job.url}/amendments", data={"text": "a", "reason": "b"}).status_code == 403
    scan_badge(client, ADA)
    answer = client.post(f"{job.url}/amendments", data={"text": "a", "reason": "b"})
    assert answer.status_code == 409
    assert "undo the step instead" in answer.text


def check_page(client: FlaskClient, ended: AtJob) -> str:
    """The address in the record's code."""
    (link,) = (one["href"] for one in ended.page("/record").all("a") if "/check/" in one.attributes.get("href", ""))
    return link


def test_the_code_on_the_record_leads_to_its_check(ended: AtJob, client: FlaskClient, app: Flask) -> None:
    link = check_page(client, ended)
    path = "/check/" + link.rpartition("/check/")[2]
    answer = client.get(path)
    assert answer.status_code == 200
    assert "Recorded here." in answer.text
    assert "RO 20417" not in answer.text  # whoever finds a record learns nothing of its vehicle here
    for wrong in (path[:-1] + ("0" if path[-1] != "0" else "1"), "/check/0-" + "0" * 64, "/check/99-" + path[-64:]):
        answer = client.get(wrong)
        assert answer.status_code == 404
        assert "Not in this shop" in answer.text
    pages = subprocess.run(
        ["/usr/bin/pdftoppm", "-r", "150", "-png", "-"], input=pdf_of(app, ended), capture_output=True, check=True
    ).stdout
    read = [code.text for one in pictures(pages) for code in zxingcpp.read_barcodes(Image.open(BytesIO(one)))]
    assert link in read


def pictures(joined: bytes) -> list[bytes]:
    """The PNG files in a stream of them."""
    begin = b"\x89PNG\r\n\x1a\n"
    return [begin + one for one in joined.split(begin)[1:]]


def test_an_amendment_is_added_with_a_reason_and_a_name_and_changes_nothing_else(
    ended: AtJob, client: FlaskClient, key: Path
) -> None:
    before = json.loads(client.get(f"{ended.url}/record.json").data)
    printed = "/check/" + check_page(client, ended).rpartition("/check/")[2]
    assert "Amend this record" not in ended.page("/record").text  # a technician's badge is not enough
    scan_badge(client, ADA)
    answer = client.post(f"{ended.url}/amendments", data={"text": WRONG_BY, "reason": "Read wrongly."})
    assert answer.status_code == 303
    text = ended.page("/record").text
    for told in (WRONG_BY, "Because: Read wrongly.", ADA.name):
        assert told in text
    content = client.get(f"{ended.url}/record.json").data
    after = json.loads(content)
    assert {name: after[name] for name in ("lines", "sheet", "photos")} == {
        name: before[name] for name in ("lines", "sheet", "photos")
    }
    assert verified(content, key)["unchanged"]
    assert codes(content.replace(WRONG_BY.encode(), b"Odometer was right."), key) == ["amendment-changed"]
    assert codes(json.dumps(after | {"amendments": [after["amendments"][0]] * 2}).encode(), key) == [
        "amendment-changed"
    ]
    answer = client.get(printed)
    assert "something came to it later" in answer.text
    assert verified(json.dumps(before).encode(), key)["unchanged"]  # what was handed out before stays true of its time


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"text": "", "reason": "Read wrongly."}, "text has 0 characters"),
        ({"text": WRONG_BY, "reason": " "}, "reason has 0 characters"),
        ({"text": "x" * 2001, "reason": "Read wrongly."}, "text has 2001 characters"),
    ],
)
def test_an_amendment_that_lacks_something_is_refused_and_kept_typed(
    ended: AtJob, client: FlaskClient, given: dict[str, str], said: str
) -> None:
    scan_badge(client, ADA)
    answer = client.post(f"{ended.url}/amendments", data=given)
    assert answer.status_code == 400
    assert said in answer.text
    assert given["text"] in answer.text
    assert json.loads(client.get(f"{ended.url}/record.json").data)["amendments"] == []


def test_an_apprentice_cannot_amend(ended: AtJob, client: FlaskClient) -> None:
    scan_badge(client, ILYA)
    answer = client.post(f"{ended.url}/amendments", data={"text": WRONG_BY, "reason": "Read wrongly."})
    assert answer.status_code == 403


def test_the_owner_is_told_in_plain_words(ended: AtJob, client: FlaskClient) -> None:
    text = ended.page("/owner").text
    for told in ("Why this was needed", "Windscreen replaced", "set, as the scan tool reports", NOOR.name, ADA.name):
        assert told in text
    assert "Something is still open." in text  # the photo that could not be taken
    assert "±" not in text
    client.set_cookie("language", "es")
    assert "Lo que conviene saber" in ended.page("/owner").text


def test_what_the_owner_is_told_fits_one_page(app: Flask, history_engine: Engine, shop: Settings) -> None:
    app.extensions |= {"engine": history_engine, "settings": shop}
    with session(history_engine) as db:
        jobs = db.exec(select(Job).where(Job.phase == "finished", Job.sort == "calibration")).all()
    largest = max(jobs, key=lambda job: len(read_of(history_engine, job)))
    assert len(read_of(history_engine, largest)) > 8
    for language, said in (("en", "What you should know"), ("es", "Lo que conviene saber")):
        pages = PdfReader(BytesIO(record_pdf(app, largest.id, language, for_owner=True))).pages
        assert len(pages) == 1
        assert said in pages[0].extract_text()


def read_of(engine: Engine, job: Job) -> list[Any]:
    """The calibrations of a job."""
    with session(engine) as db:
        return list(read_sheet(db, job.sheet or "")["calibrations"])


def test_no_more_records_are_printed_at_once_than_there_are_places(
    ended: AtJob, client: FlaskClient, shop: Settings
) -> None:
    folder = shop.data / making.FOLDER
    folder.mkdir()
    places = [making._place(folder) for _ in range(making.MOST_AT_ONCE)]
    assert None not in places
    assert making._place(folder) is None
    for _ in range(3):
        assert client.get(f"{ended.url}/record.pdf").status_code == 202
    assert [path for path in folder.iterdir() if not path.name.startswith(".place-")] == []  # nothing was started
    for place in places:
        assert place is not None
        place.close()
    assert client.get(f"{ended.url}/record.pdf").status_code == 202
    taken = [making._place(folder) for _ in range(making.MOST_AT_ONCE)]
    assert taken.count(None) == 1  # whoever prints has one of them, and this process no longer does
    for one in filter(None, taken):
        one.close()
    while (answer := client.get(f"{ended.url}/record.pdf")).status_code == 202:
        with (folder / ".place-0").open("ab") as place:
            fcntl.flock(place, fcntl.LOCK_EX)  # waits for whoever prints
    with answer:
        assert answer.status_code == 200
