"""The shop's log: an entry for each job that ended, proofs that hold, and a record's file that proves itself."""

import base64
import copy
import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from sqlalchemy import delete
from sqlalchemy.engine import Engine
from sqlmodel import select

from webapp.cli import main
from webapp.config import Settings
from webapp.core import merkle
from webapp.core.errors import BadInput, Conflict
from webapp.core.evidence import Head
from webapp.core.proven import check, entry_of
from webapp.core.sheet import canonical
from webapp.storage import log
from webapp.storage.engine import session, writing
from webapp.storage.keys import as_jwk, decoded, public_key, signed
from webapp.storage.log_tables import LogEntry, LogHead, LogNode
from webapp.storage.own_keys import RECORDS, private_key
from webapp.storage.record_files import public_jwk, record_file
from webapp.storage.tables import Fact, Job

NOW = "2026-03-06T18:00:00.000Z"
Record = dict[str, Any]


@pytest.fixture
def exported(history_engine: Engine, shop: Settings) -> tuple[Record, Record]:
    """The records of two jobs with photos, from one log."""
    with writing(history_engine) as db:
        jobs = db.exec(select(Job).where(Job.sort == "calibration", Job.phase == "finished")).all()
        files = (record_file(db, shop.data, shop.photos, job, NOW) for job in jobs)
        with_photos = [one for one in files if one["photos"]]
    return with_photos[0], with_photos[1]


def by_key(jwk: dict[str, str]) -> Callable[[bytes, bytes], bool]:
    key = public_key(jwk)
    return lambda signature, said: signed(key, decoded(signature.decode(), "signature", 64), said)


def codes(record: Record) -> list[str]:
    return [one.code for one in check(record, by_key(record["key"]))]


def test_every_job_that_ended_is_in_the_log_once_in_its_order(history_engine: Engine, shop: Settings) -> None:
    with session(history_engine) as db:
        entries = list(db.exec(select(LogEntry).order_by(LogEntry.number)))  # type: ignore[arg-type]
        assert [one.number for one in entries] == list(range(log.size_of(db)))
        told = [entry_of(one.text) for one in entries]
        assert len({one.job for one in told}) == len(told) == log.ended(db) > 20
        for one in told:
            job = db.get_one(Job, one.job)
            assert (one.why, one.sheet, one.at) == (job.phase, job.sheet, job.finished_at)


def test_a_longer_log_continues_a_shorter_one_and_a_rewritten_one_does_not(
    history_engine: Engine,
    shop: Settings,
) -> None:
    with writing(history_engine) as db:
        before = log.head(db, shop.data, NOW)
        assert log.head(db, shop.data, "2026-03-07T08:00:00.000Z") == before  # nothing new, nothing signed anew
        job = db.exec(select(Job).where(Job.phase == "finished")).first()
        assert job is not None
        entry = entry_of(log.entries_of(db, job.id)[-1].text)
        log.add(db, [entry, entry, entry])
        after = log.head(db, shop.data, NOW)
        proof = [bytes.fromhex(one) for one in log.consistency(db, before.size, after.size)]
    assert after.size == before.size + 3
    roots = bytes.fromhex(before.root), bytes.fromhex(after.root)
    assert merkle.continues(before.size, roots[0], after.size, roots[1], proof)
    assert not merkle.continues(before.size, roots[1], after.size, roots[1], proof)
    assert by_key(public_jwk(shop.data))(after.signature.encode(), after.text().encode())
    assert not by_key(public_jwk(shop.data))(after.signature.encode(), Head(1, after.root, NOW).text().encode())
    with session(history_engine) as db:
        assert [one.size for one in log.heads(db)] == [before.size, after.size]


def test_jobs_that_ended_before_there_was_a_log_are_entered(history_engine: Engine, shop: Settings) -> None:
    with writing(history_engine) as db:
        told = {entry_of(one.text) for one in db.exec(select(LogEntry))}
        for table in (LogEntry, LogNode, LogHead):
            db.execute(delete(table))
        db.delete(db.get_one(Fact, log.SIZE))
    assert log.is_behind(history_engine)
    asked = ["catch-up", "--data", str(shop.data)]
    where = {"DATABASE_URL": shop.database_url}
    assert f"{len(told)} jobs were entered" in CliRunner().invoke(main, asked, env=where).output
    assert not log.is_behind(history_engine)
    assert "0 jobs were entered" in CliRunner().invoke(main, asked).output
    with session(history_engine) as db:
        entered = [entry_of(one.text) for one in db.exec(select(LogEntry).order_by(LogEntry.number))]  # type: ignore[arg-type]
    assert set(entered) == told
    assert [one.at for one in entered] == sorted(one.at for one in entered)


def test_a_job_that_goes_on_has_no_record_to_hand_out(history_engine: Engine, shop: Settings) -> None:
    with writing(history_engine) as db:
        job = Job(id="J-1", sort="calibration", phase="open", created_at=NOW)
        db.add(job)
        with pytest.raises(Conflict, match="has not ended"):
            record_file(db, shop.data, shop.photos, job, NOW)


def test_a_record_proves_itself(exported: tuple[Record, Record]) -> None:
    for record in exported:
        assert check(json.loads(json.dumps(record)), by_key(record["key"])) == []


def swapped_lines(record: Record) -> None:
    record["lines"][3], record["lines"][4] = record["lines"][4], record["lines"][3]


def renumbered(record: Record) -> None:
    """Two events change places, with their numbers, so that the order is right again."""
    first, second = (json.loads(record["lines"][at]) for at in (3, 4))
    first["seq"], second["seq"] = second["seq"], first["seq"]
    record["lines"][3], record["lines"][4] = (json.dumps(one, separators=(",", ":")) for one in (second, first))


def another_reading(record: Record) -> None:
    at = next(at for at, line in enumerate(record["lines"]) if '"measured"' in line)
    record["lines"][at] = record["lines"][at].replace('"outside"', '"inside"').replace('"value":', '"value":1')


def another_picture(record: Record) -> None:
    name = next(iter(record["photos"]))
    record["photos"][name] = base64.b64encode(b"another picture").decode()


def picture_and_its_name(record: Record) -> None:
    """The journal is made to tell of the other picture."""
    name = next(iter(record["photos"]))
    other = hashlib.sha256(b"another picture").hexdigest()
    del record["photos"][name]
    record["photos"][other] = base64.b64encode(b"another picture").decode()
    record["lines"] = [line.replace(name, other) for line in record["lines"]]


def reentered(record: Record) -> None:
    """Events and entry fit each other; only the shop's log does not know the entry."""
    another_reading(record)
    entry = json.loads(record["entry"])
    places = [(one["device"], one["seq"]) for one in map(json.loads, record["lines"])]
    hashes = [hashlib.sha256(line.encode()).hexdigest() for line in record["lines"]]
    said = "".join(f"{device} {seq} {sha}\n" for (device, seq), sha in sorted(zip(places, hashes, strict=True)))
    entry["journal"] = hashlib.sha256(said.encode()).hexdigest()
    record["entry"] = json.dumps(entry, separators=(",", ":"), sort_keys=True)


def other_sheet(record: Record) -> None:
    sheet = json.loads(record["sheet"])
    sheet["steps"][0]["do"] += " Or not."
    record["sheet"] = canonical(sheet)


def other_root(record: Record) -> None:
    record["head"]["root"] = "00" * 32


def own_log(record: Record) -> None:
    """A log of the forger's own, with this one entry; the head is not signed by the shop."""
    reentered(record)
    record["number"], record["path"] = 0, []
    record["head"] |= {"size": 1, "root": merkle.leaf_hash(record["entry"].encode()).hex()}


def relinked(record: Record) -> None:
    """Events that say of what stands before them what does not."""
    line = json.loads(record["lines"][4]) | {"before": "a" * 64}
    record["lines"][4] = json.dumps(line, ensure_ascii=False, separators=(",", ":"))


FORGERIES: list[tuple[Callable[[Record], Any], str]] = [
    (another_reading, "journal-changed"),
    (lambda record: record["lines"].pop(5), "events-count"),
    (lambda record: record["lines"].pop(), "not-ended"),
    (lambda record: record["lines"].append(record["lines"][-1]), "events-count"),
    (swapped_lines, "events-order"),
    (renumbered, "journal-changed"),
    (relinked, "chain-broken"),
    (lambda record: record["lines"].__setitem__(2, "no event"), "event-damaged"),
    (another_picture, "photo-changed"),
    (picture_and_its_name, "journal-changed"),
    (lambda record: record["photos"].popitem(), "photo-missing"),
    (lambda record: record["photos"].update({"0" * 64: ""}), "photo-foreign"),
    (reentered, "entry-not-in-log"),
    (lambda record: record.update(number=record["number"] ^ 1), "entry-not-in-log"),
    (lambda record: record["path"].pop(), "entry-not-in-log"),
    (lambda record: record["path"].__setitem__(0, "no hash"), "entry-not-in-log"),
    *(
        (lambda record, text=text: record.update(entry=text), "entry-damaged")
        for text in ("{}", "[1]", "3", "no entry")
    ),
    (lambda record: record["lines"].__setitem__(2, 7), "event-damaged"),
    (lambda record: record["photos"].update(dict.fromkeys(record["photos"], 7)), "photo-changed"),
    (lambda record: record.update(sheet="no sheet"), "sheet-changed"),
    (lambda record: record.update(sheet=record["sheet"] + " "), "sheet-changed"),
    (lambda record: record.update(amendments=[7, {}]), "amendment-damaged"),
    (lambda record: record["head"].update(root="no root"), "entry-not-in-log"),
    (lambda record: record.update(number=-1), "entry-not-in-log"),
    (lambda record: record.update(path=[7]), "entry-not-in-log"),
    (other_sheet, "sheet-changed"),
    (other_root, "head-signature"),
    (own_log, "head-signature"),
    (lambda record: record["head"].update(signature="AAAA"), "head-signature"),
]


@pytest.mark.parametrize(("forge", "code"), FORGERIES)
def test_whatever_was_changed_is_found(
    exported: tuple[Record, Record], forge: Callable[[Record], Any], code: str, tmp_path: Path
) -> None:
    forged = copy.deepcopy(exported[0])
    forge(forged)
    assert forged != exported[0]
    (tmp_path / "record.json").write_text(json.dumps(forged))
    (tmp_path / "key.json").write_text(json.dumps(exported[0]["key"]))
    answer = told(tmp_path / "record.json", tmp_path / "key.json")
    assert code in [one["code"] for one in answer["findings"]]
    assert not answer["unchanged"]


def test_a_record_handed_out_in_the_first_format_still_proves_itself(exported: tuple[Record, Record]) -> None:
    sheet = json.loads(exported[0]["sheet"])
    first = exported[0] | {"baybook-record": 1, "sheet": sheet}
    assert codes(first) == []
    assert codes(first | {"sheet": sheet | {"steps": sheet["steps"][1:]}}) == ["sheet-changed"]
    for given in (first | {"baybook-record": 2}, exported[0] | {"baybook-record": 1}):
        with pytest.raises(BadInput, match="sheet="):
            codes(given)


@pytest.mark.parametrize("part", ["lines", "photos", "sheet", "entry"])
def test_parts_of_another_record_of_the_same_shop_do_not_fit(exported: tuple[Record, Record], part: str) -> None:
    first, second = exported
    assert codes(first | {part: second[part]}) != []
    if part == "lines":
        assert "event-of-another-job" in codes(first | {part: second[part]})


def told(file: Path, key: Path) -> dict[str, Any]:
    result = CliRunner().invoke(main, ["verify", str(file), "--key", str(key)])
    assert result.exit_code in (0, 2), result.output
    answer: dict[str, Any] = json.loads(result.output)
    assert (result.exit_code == 0) == answer["unchanged"]
    return answer


def test_a_record_is_checked_on_the_command_line(exported: tuple[Record, Record], tmp_path: Path) -> None:
    file, key = tmp_path / "record.json", tmp_path / "key.json"
    file.write_text(json.dumps(exported[0]))
    key.write_text(json.dumps(exported[0]["key"]))
    entry = json.loads(exported[0]["entry"])
    said = {"file": str(file), "unchanged": True, "job": entry["job"], "ended_at": entry["at"], "findings": []}
    assert told(file, key) == said
    other = as_jwk(private_key(tmp_path, RECORDS).public_key())
    key.write_text(json.dumps(other))
    assert [one["code"] for one in told(file, key)["findings"]] == ["head-signature"]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("", "is no record"),
        ("[]", "must be a JSON object"),
        ("[" * 100_000, "is no record"),
        ('{"baybook-record": 3}', 'object with "baybook-record": 2'),
        ('{"baybook-record": 2}', "entry=null must be a text"),
        ("%PDF-1.7 and no more", "damaged PDF"),
    ],
)
def test_what_is_no_record_is_told_as_such(content: str, said: str, tmp_path: Path) -> None:
    file, key = tmp_path / "record.json", tmp_path / "key.json"
    file.write_text(content)
    key.write_text(json.dumps(as_jwk(private_key(tmp_path, RECORDS).public_key())))
    (finding,) = told(file, key)["findings"]
    assert finding["code"] == "record-format"
    assert said in finding["message"]


def test_a_key_that_is_none_is_refused(tmp_path: Path) -> None:
    for name in ("record.json", "key.json"):
        (tmp_path / name).write_text("{}")
    asked = ["verify", str(tmp_path / "record.json"), "--key", str(tmp_path / "key.json")]
    result = CliRunner().invoke(main, asked)
    assert result.exit_code == 2
    assert "/record-key.json" in result.output
