"""Head office releases procedures and vehicles: numbered, signed, never changed."""

import json
from pathlib import Path

import psycopg
import pytest

from tests.postgres import connected
from webapp.core.errors import BadInput, Conflict
from webapp.core.release import read_manifest
from webapp.storage.keys import decoded, signed
from webapp.storage.office import door, releases
from webapp.storage.own_keys import RECORDS, private_key

from .conftest import NOW, OWNER, Office, Shop
from .releasing import CAMERA, CLOSER, WHY, changed, give_out
from .test_served import baybook, refused


def test_a_release_says_every_file_and_head_offices_key_has_signed_it(office: Office) -> None:
    files = changed(*CLOSER)
    made = give_out(office, files)
    with door.of_everything(office.engine) as db:
        row = releases.newest(db)
        assert row is not None
        assert releases.library_of(db, row) == files
    key = private_key(office.settings.data, RECORDS).public_key()
    said = read_manifest(
        row["manifest"], decoded(row["signature"], "signature", 64), lambda one, text: signed(key, one, text)
    )
    assert said == made
    assert (said.number, said.note, said.made_by) == (1, WHY, "Tomas")
    assert {one.place for one in said.files} == files.keys()


def test_the_next_one_counts_on_and_keeps_what_did_not_change_once(office: Office) -> None:
    give_out(office, changed())
    count = office.count("release_file")
    assert give_out(office, changed(*CLOSER)).number == 2
    assert office.count("release_file") == count + 2
    with pytest.raises(Conflict, match="files are those of release 2"):
        give_out(office, changed(*CLOSER))
    with pytest.raises(BadInput, match="note=' ' must be 1 to 300 characters"):
        give_out(office, changed(), note=" ")
    assert office.count("release") == 2


def test_nobody_changes_a_release_and_only_who_sees_everything_adds_one(office: Office, shop: Shop) -> None:
    give_out(office, changed())
    row = "INSERT INTO office.release VALUES (9, '{}', '', '', '', '', '')"
    for name, value in (("shop", shop.name()), ("regions", "North"), ("regions", "")):
        with connected(office.socket, office.database, OWNER) as db:
            db.execute("SELECT set_config('baybook.' || %s, %s, false)", (name, value))
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                db.execute(row.encode())
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                db.execute("INSERT INTO office.release_file VALUES ('aa', '')")
    with connected(office.socket, office.database, OWNER) as db:
        db.execute("SELECT set_config('baybook.regions', '*', false)")
        for table in ("release", "release_file"):
            assert db.execute(f"DELETE FROM office.{table}".encode()).rowcount == 0
        assert db.execute("UPDATE office.release SET note = 'other'").rowcount == 0
    assert office.rows("SELECT number, note FROM office.release") == [(1, WHY)]


def test_every_shop_that_has_joined_reads_it_and_nobody_else(office: Office, shop: Shop) -> None:
    give_out(office, changed())
    count = office.count("release_file")
    for name, value, seen in (
        ("shop", shop.name(), (1, count)),
        ("shop", "shop-of-nobody", (0, 0)),
        ("shop", "", (0, 0)),
        ("regions", "South", (1, count)),
        ("regions", "", (0, 0)),
    ):
        with connected(office.socket, office.database, OWNER) as db:
            db.execute("SELECT set_config('baybook.' || %s, %s, false)", (name, value))
            counted = db.execute(
                "SELECT (SELECT count(*) FROM office.release), (SELECT count(*) FROM office.release_file)"
            )
            assert counted.fetchone() == seen, (name, value)
    with door.of_everything(office.engine) as db:
        db.exec_driver_sql("UPDATE office.shop SET left_at = %s", (NOW,))
    with door.of_shop(office.engine, shop.name()) as db:
        assert releases.newest(db) is None


def test_the_command_releases_a_folder_and_refuses_one_that_lint_finds_fault_with(
    office: Office, tmp_path: Path
) -> None:
    folder = tmp_path / "procedures"
    for place, data in changed(*CLOSER).items():
        (folder / place).parent.mkdir(parents=True, exist_ok=True)
        (folder / place).write_bytes(data)
    url = office.engine.url.render_as_string(hide_password=False)
    env = {"DATABASE_URL": url, "HEAD_OFFICE": "yes", "DATA": str(office.settings.data)}
    said = baybook("release", str(folder), "--note", WHY, **env)
    assert said.startswith(f"Release 1: {len(changed())} files")
    whole = (folder / CAMERA).read_text()
    (folder / CAMERA).write_text(whole.replace("kind: choose", "kind: chose", 1))
    line = whole.partition("kind: choose")[0].count("\n") + 1
    assert f"{CAMERA}:{line}: steps.glass.kind: 'chose'" in refused("release", str(folder), "--note", WHY, **env)
    assert office.rows("SELECT number, made_by, note FROM office.release") == [(1, "terminal", WHY)]


def test_what_a_shop_decided_is_kept_once_and_seen_by_its_region_alone(office: Office, shop: Shop) -> None:
    made = give_out(office, changed())
    answer = {"id": 1, "number": made.number, "decision": "declined", "at": NOW, "by": "Ada", "why": "Not this week"}
    for _ in range(2):
        said = shop.post("/office/releases/answers", {"answers": [answer], "works_by": 0})
        assert (said.status, json.loads(said.body)) == (200, {"told": 1})
    assert office.count("release_answer") == 1
    with connected(office.socket, office.database, OWNER) as db:
        db.execute("SELECT set_config('baybook.regions', 'South', false)")
        assert db.execute("SELECT count(*) FROM office.release_answer").fetchone() == (0,)
    shop.post("/office/releases/answers", {"answers": [answer | {"id": 2, "decision": "approved"}], "works_by": 1})
    assert office.rows("SELECT release FROM office.shop") == [(1,)]
    with door.of_regions(office.engine, ["North"]) as db:
        assert [one["decision"] for one in releases.answers(db, made.number)] == ["approved", "declined"]
