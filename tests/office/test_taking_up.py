"""A shop takes a release up: shown in plain words, approved by a supervisor, worked by from the next job on."""

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlmodel import select

from tests.browsing import Browser
from tests.cast import ADA, NOOR, TOMAS, scan_badge
from tests.sync.phone import Held, Phone
from tests.sync.test_offline_jobs import planned
from tests.web.markup import Page
from tests.web.test_intake import begun, filled
from webapp import backup, create_app
from webapp.config import settings
from webapp.core.act import Draft
from webapp.core.procedure import Library
from webapp.core.sheet import canonical, content_hash
from webapp.library.own import shipped
from webapp.paths import PROCEDURES
from webapp.storage import devices, releases, specs
from webapp.storage.differences import differences_of
from webapp.storage.engine import engine, session, writing
from webapp.storage.jobs import job_of
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import Job
from webapp.sync import moment

from .conftest import NOW, Office, Shop
from .releasing import CAMERA, CLOSER, GLASS, OTHER_GLASS, changed, give_out

SPANISH = "Mire todo el cristal delante de la cámara, por fuera y por dentro."
WORDS = ("translations/es/forward-camera-static.yaml", f'"{GLASS}":', f'"{OTHER_GLASS}": "{SPANISH}"\n"{GLASS}":')


@pytest.fixture
def at_shop(shop: Shop) -> Iterator[FlaskClient]:
    """A browser at a shop to which head office has released something, with a supervisor's badge."""
    give_out(shop.office, changed(*CLOSER, WORDS))
    shop.pull()
    app = create_app(shop.settings)
    app.test_client_class = Browser
    with app.test_client() as opened:
        scan_badge(opened, ADA)
        yield opened
    app.extensions["engine"].dispose()


def approve(client: FlaskClient, number: int = 1, seen: int = 0, **more: str) -> Page:
    answer = client.post(f"/releases/{number}/approve", data={"seen": seen, "pin": ADA.pin} | more)
    assert answer.status_code == 303, Page(answer.text).text
    return Page(client.get("/releases").text)


def started(client: FlaskClient) -> str:
    """A job on the Orvane Wagon, begun; its id."""
    job = client.post(begun(client), data=filled()).headers["Location"].split("/")[2]
    assert client.post(f"/jobs/{job}/start").headers["Location"] == f"/jobs/{job}"
    return job


def sheet_of(shop: Shop, job: str) -> dict[str, Any]:
    with session(shop.engine) as db:
        return read_sheet(db, job_of(db, job).sheet or "")


def glass(sheet: dict[str, Any]) -> str:
    return str(next(one["do"] for one in sheet["steps"] if one["id"] == "forward-camera-static/glass"))


def end_all(shop: Shop) -> None:
    with writing(shop.engine) as db:
        for one in db.exec(select(Job).where(Job.phase == "open")):
            one.phase = "abandoned"
            db.add(one)


def test_a_release_waits_and_says_what_it_changes_in_plain_words(at_shop: FlaskClient) -> None:
    text = Page(at_shop.get("/releases").text).text
    assert "◐ Release 1 waits for a decision." in text
    assert "Jobs are planned by: What came along" in text
    text = Page(at_shop.get("/releases/1").text).text
    assert "Revision 2 becomes revision 3." in text
    assert f"Instruction: “{GLASS}” becomes “{OTHER_GLASS}”" in text
    assert "Forward camera, static target · distance: “1350 ± 5 mm” becomes “1350 ± 3 mm”" in text
    assert "translations/es/forward-camera-static.yaml" in text
    at_shop.post("/language", data={"language": "es"})
    text = Page(at_shop.get("/releases/1").text).text
    assert "La revisión 2 pasa a la revisión 3." in text
    assert f"pasa a «{SPANISH}»" in text


def test_who_may_decide_on_it_finds_it_on_today_until_that_is_done(at_shop: FlaskClient, shop: Shop) -> None:
    phone = paired(at_shop, shop)
    assert Page(at_shop.get("/").text).one("a", href="/releases").text == "◐ Release 1 waits for a decision."
    assert phone.ask(at_shop, "/sync/jobs")["release"] == 1
    scan_badge(at_shop, NOOR)
    assert "waits for a decision" not in at_shop.get("/").text
    scan_badge(at_shop, ADA)
    approve(at_shop, when="now")
    assert "waits for a decision" not in at_shop.get("/").text
    assert phone.ask(at_shop, "/sync/jobs")["release"] is None


def test_it_is_approved_with_a_pin_and_worked_by_from_the_next_job_on(at_shop: FlaskClient, shop: Shop) -> None:
    answer = at_shop.post("/releases/1/approve", data={"seen": 0, "pin": "0000"})
    assert answer.status_code == 403
    assert f"pin is not that of {ADA.name}" in Page(answer.text).text
    assert glass(sheet_of(shop, started(at_shop))) == GLASS
    end_all(shop)
    text = approve(at_shop).text
    assert "Jobs are planned by: Release 1" in text
    assert f"Approved by {ADA.name}" in text
    sheet = sheet_of(shop, started(at_shop))
    assert glass(sheet) == OTHER_GLASS
    assert {one["id"]: one["revision"] for one in sheet["sections"]}["forward-camera-static"] == 3
    at_shop.post("/language", data={"language": "es"})
    job = started(at_shop)
    assert "forward-camera-static" in str(sheet_of(shop, job)["calibrations"])
    assert SPANISH in Page(at_shop.get(f"/jobs/{job}/steps/forward-camera-static/glass").text).text


def test_a_running_job_keeps_its_sheet(at_shop: FlaskClient, shop: Shop) -> None:
    job = started(at_shop)
    before = sheet_of(shop, job)
    shown = at_shop.get(f"/jobs/{job}").text
    approve(at_shop, when="now")
    with session(shop.engine) as db:
        assert (job_of(db, job).sheet, content_hash(sheet_of(shop, job))) == (content_hash(before),) * 2
    assert Page(at_shop.get(f"/jobs/{job}").text).one("h2", class_="do").text == Page(shown).one("h2", class_="do").text
    assert glass(sheet_of(shop, job)) == GLASS
    assert glass(sheet_of(shop, started(at_shop))) == OTHER_GLASS


def test_while_jobs_run_it_can_wait_until_none_does(at_shop: FlaskClient, shop: Shop) -> None:
    started(at_shop)
    page = Page(at_shop.get("/releases/1").text)
    assert "One job is running." in page.text
    text = approve(at_shop, when="quiet").text
    assert "Release 1 is approved and is taken up once no job is running; one is." in text
    assert glass(sheet_of(shop, started(at_shop))) == GLASS
    with writing(shop.engine) as db:
        assert not releases.take_up(db, NOW)
    end_all(shop)
    with writing(shop.engine) as db:
        assert releases.take_up(db, NOW)
        assert not releases.take_up(db, NOW)
    assert "Jobs are planned by: Release 1" in Page(at_shop.get("/releases").text).text
    assert glass(sheet_of(shop, started(at_shop))) == OTHER_GLASS


def test_one_that_waits_for_a_quiet_moment_can_still_be_declined(at_shop: FlaskClient, shop: Shop) -> None:
    started(at_shop)
    approve(at_shop, when="quiet")
    said = {"pin": ADA.pin, "reason": "The boards are on loan"}
    assert at_shop.post("/releases/1/decline", data=said).status_code == 303
    end_all(shop)
    with writing(shop.engine) as db:
        assert not releases.take_up(db, NOW)
    text = Page(at_shop.get("/releases").text).text
    assert "Jobs are planned by: What came along" in text
    assert "The boards are on loan" in text


def test_a_decision_is_told_to_head_office(at_shop: FlaskClient, shop: Shop, office: Office) -> None:
    answer = at_shop.post("/releases/1/decline", data={"pin": ADA.pin, "reason": ""})
    assert answer.status_code == 400
    assert "reason" in Page(answer.text).text
    at_shop.post("/releases/1/decline", data={"pin": ADA.pin, "reason": "Not this week"})
    approve(at_shop)
    shop.pull()
    answers = "SELECT number, decision, by, why FROM office.release_answer ORDER BY id"
    assert office.rows(answers) == [(1, "declined", ADA.name, "Not this week"), (1, "approved", ADA.name, "")]
    assert office.rows("SELECT release FROM office.shop") == [(1,)]
    told = office.count("release_answer")
    shop.pull()
    assert office.count("release_answer") == told


def test_an_earlier_one_is_taken_up_again_and_what_came_along_too(at_shop: FlaskClient, shop: Shop) -> None:
    approve(at_shop)
    give_out(shop.office, changed(*CLOSER, (CAMERA, "title: Forward camera, static target", "title: Front camera")))
    shop.pull()
    approve(at_shop, 2, seen=1)
    text = Page(at_shop.get("/releases/1").text).text
    assert "What changes against: Release 2" in text
    assert "Title: “Front camera” becomes “Forward camera, static target”" in text
    assert "Jobs are planned by: Release 1" in approve(at_shop, 1, seen=2).text
    assert "Jobs are planned by: What came along" in approve(at_shop, 0, seen=1).text
    assert glass(sheet_of(shop, started(at_shop))) == GLASS
    shop.pull()
    assert shop.office.rows("SELECT release FROM office.shop") == [(0,)]


def test_what_was_read_has_to_be_what_is_approved(at_shop: FlaskClient, shop: Shop) -> None:
    give_out(shop.office, changed())
    shop.pull()
    approve(at_shop, 2)
    answer = at_shop.post("/releases/1/approve", data={"seen": 0, "pin": ADA.pin})
    assert answer.status_code == 409
    assert "another release was taken up in between" in Page(answer.text).text
    answer = at_shop.post("/releases/2/approve", data={"seen": 2, "pin": ADA.pin})
    assert "this release is worked by already" in Page(answer.text).text
    for bad in ({"seen": "x"}, {"seen": ""}, {"seen": 2, "when": "later"}):
        assert at_shop.post("/releases/1/approve", data={"pin": ADA.pin} | bad).status_code == 400
    assert at_shop.get("/releases/99").status_code == 404


def test_only_a_supervisor_or_a_manager_decides(at_shop: FlaskClient, shop: Shop) -> None:
    scan_badge(at_shop, NOOR)
    said = {"seen": 0, "pin": NOOR.pin}
    assert at_shop.post("/releases/1/approve", data=said).status_code == 403
    assert at_shop.get("/releases/1").status_code == 403
    with session(shop.engine) as db:
        assert releases.decisions(db) == []
    scan_badge(at_shop, TOMAS)
    assert at_shop.post("/releases/1/approve", data={"seen": 0, "pin": TOMAS.pin}).status_code == 303


FIGURES = rb"(  forward-camera-static:\n(?:    .*\n)*?    figures:\n)"
READ = (
    CAMERA,
    "steps:\n",
    """steps:
  - id: glare
    do: Read the light that the floor throws back.
    why: A floor that shines hides the lower edge of the boards.
    kind: measure
    measure:
      method: values
      readings:
        - {name: glare, label: Light from the floor, unit: lx, limits: spec.glare, u: 15 lx}
    expect: 60 s
""",
)


def own_compact(shop: Shop, **more: Any) -> None:
    """The shop's own figures of a vehicle that the release changes too, approved."""
    document = shipped(PROCEDURES).vehicles["kestovar-compact"].plain() | {"revision": 7} | more
    with writing(shop.engine) as db:
        specs.save(db, document, None, TOMAS.badge, NOW)
        specs.approve(db, "kestovar-compact", 7, ADA.badge, NOW)


def test_the_shops_own_figures_stay_on_top_and_the_page_says_so(at_shop: FlaskClient, shop: Shop) -> None:
    own_compact(shop)
    text = Page(at_shop.get("/releases/1").text).text
    assert "The release has other figures of it. The shop's own, revision 7, stay in place of them." in text
    approve(at_shop)
    phone = paired(at_shop, shop)
    said = phone.ask(at_shop, "/sync/shelf")["shelf"]
    found = next(one for one in said["vehicles"] if one["vehicle"] == "kestovar-compact")
    assert found["specs"]["forward-camera-static"]["figures"]["distance"]["tolerance"] == 5
    assert said["approvals"]["kestovar-compact"]["revision"] == 7


def test_own_figures_that_a_release_leaves_no_sheet_for_are_told_before(at_shop: FlaskClient, shop: Shop) -> None:
    own_compact(shop)
    files = changed((CAMERA, "needs:\n", "needs:\n  glare: lx\n"), READ)
    for place in [one for one in files if one.startswith("vehicles/")]:
        files[place] = re.sub(FIGURES, rb"\1      glare: {high: 900 lx}\n", files[place])
    give_out(shop.office, files)
    shop.pull()
    text = Page(at_shop.get("/releases/2").text).text
    assert "With this release the shop's own figures could not be worked with:" in text
    assert "glare" in text
    approve(at_shop, 2)
    assert "Revision 7 no longer fits the procedures: revise it" in Page(at_shop.get("/specs").text).text


def paired(client: FlaskClient, shop: Shop) -> Phone:
    phone = Phone()
    with writing(shop.engine) as db:
        code = devices.make_code(db, ADA.badge, moment.now())
    phone.pair(client, code)
    return phone


def test_phones_get_the_new_shelf_and_a_job_begun_with_the_old_one_comes_home_well(
    at_shop: FlaskClient, shop: Shop, library: Library
) -> None:
    phone = paired(at_shop, shop)
    old = phone.ask(at_shop, "/sync/shelf")
    texts = phone.request("GET", "/sync/texts/es").arrive(at_shop).headers["ETag"]
    facts, sheet = planned(library)
    approve(at_shop, when="now")
    new = phone.ask(at_shop, f"/sync/shelf?library={old['library']}")
    assert new["library"] != old["library"]
    steps = next(one for one in new["shelf"]["procedures"] if one["procedure"] == "forward-camera-static")["steps"]
    assert steps[0]["do"] == OTHER_GLASS
    assert phone.request("GET", "/sync/texts/es").arrive(at_shop).headers["ETag"] != texts

    job = facts["job"]["id"]
    phone.jobs[job] = Held(sheet, facts["sheet"])
    phone.keep(job, Draft("started", None, 1, 0, {"sheet": facts["sheet"]}))
    phone.keep(job, Draft("left-undone", sheet["steps"][0]["id"], 1, 0, {"reason": "Later."}))
    said = phone.send(at_shop, jobs=[json.dumps(facts)])
    assert said["jobs"][0]["error"]["code"] == "sheet-differs"
    said = phone.send(at_shop, jobs=[json.dumps(facts | {"body": canonical(sheet)})])
    assert said["jobs"] == [{"id": job, "status": "made"}]
    assert said["digests"][job]["digest"] == phone.digest(job)
    assert glass(sheet_of(shop, job)) == GLASS
    with session(shop.engine) as db:
        assert [one.what for one in differences_of(db, job)] == ["sheet-made"]


def test_a_job_in_planning_is_planned_anew(at_shop: FlaskClient, shop: Shop) -> None:
    url = at_shop.post(begun(at_shop), data=filled()).headers["Location"]
    assert "The procedures changed on" not in Page(at_shop.get(url).text).text
    approve(at_shop)
    assert "◐ The procedures changed on" in Page(at_shop.get(url).text).text
    other = at_shop.post(begun(at_shop), data=filled()).headers["Location"]
    assert "The procedures changed on" not in Page(at_shop.get(other).text).text
    job = url.split("/")[2]
    at_shop.post(f"/jobs/{job}/start")
    assert glass(sheet_of(shop, job)) == OTHER_GLASS


def test_a_job_in_planning_whose_vehicle_is_gone_leads_back_to_its_intake(at_shop: FlaskClient, shop: Shop) -> None:
    url = at_shop.post(begun(at_shop), data=filled()).headers["Location"]
    files = changed()
    del files["vehicles/orvane-wagon.yaml"]
    give_out(shop.office, files)
    shop.pull()
    approve(at_shop, 2)
    answer = at_shop.get(url)
    assert (answer.status_code, answer.headers["Location"]) == (303, url.replace("/plan", "/intake"))
    assert at_shop.get(url.replace("/plan", "/intake")).status_code == 200
    assert at_shop.get("/").status_code == 200
    assert at_shop.post(url.replace("/plan", "/start")).status_code == 303
    with session(shop.engine) as db:
        assert job_of(db, url.split("/")[2]).phase == "planning"


def test_a_server_that_begins_anew_works_by_the_release(at_shop: FlaskClient, shop: Shop) -> None:
    approve(at_shop)
    app = create_app(shop.settings)
    app.test_client_class = Browser
    again = app.test_client()
    scan_badge(again, NOOR)
    assert glass(sheet_of(shop, started(again))) == OTHER_GLASS
    app.extensions["engine"].dispose()


def test_two_servers_turn_together(at_shop: FlaskClient, shop: Shop) -> None:
    app = create_app(shop.settings)
    app.test_client_class = Browser
    other = app.test_client()
    scan_badge(other, NOOR)
    assert glass(sheet_of(shop, started(other))) == GLASS
    approve(at_shop, when="now")
    assert glass(sheet_of(shop, started(other))) == OTHER_GLASS
    approve(at_shop, 0, seen=1, when="now")
    assert glass(sheet_of(shop, started(other))) == GLASS
    app.extensions["engine"].dispose()


def test_what_this_program_cannot_work_with_any_more_is_told_and_the_shop_goes_on(
    at_shop: FlaskClient, shop: Shop
) -> None:
    approve(at_shop)
    with writing(shop.engine) as db:  # as if a newer program asked more of a library than the one that fetched it
        row = releases.release(db, 1)
        text = row.manifest.replace(CAMERA, f"x-{CAMERA}")
        row.manifest, row.sha256 = text, releases.sha256(text.encode())
        db.add(row)
    app = create_app(shop.settings)
    app.test_client_class = Browser
    again = app.test_client()
    scan_badge(again, ADA)
    text = Page(again.get("/releases").text).text
    assert "⊗ Release 1 was taken up, but this Baybook cannot work with it: what came along is worked by." in text
    assert f"'{CAMERA.removesuffix('.yaml')}'" in text
    assert glass(sheet_of(shop, started(again))) == GLASS
    assert "This Baybook cannot work with it." in Page(again.get("/releases/1").text).text
    app.extensions["engine"].dispose()


@pytest.mark.sqlite
def test_a_backup_carries_what_was_released_and_approved(
    at_shop: FlaskClient, shop: Shop, tmp_path_factory: pytest.TempPathFactory
) -> None:
    approve(at_shop)
    copy, again = (tmp_path_factory.mktemp(name) for name in ("copy", "again"))
    backup.backup(shop.settings, copy)
    backup.restore(settings({}, data=again), copy)
    made = engine(f"sqlite:///{again / 'baybook.db'}")
    with session(made) as db:
        said = releases.said_by(releases.release(db, releases.in_use(db.connection())))
        assert releases.files_of(db, said) == changed(*CLOSER, WORDS)
        assert [one.decision for one in releases.decisions(db)] == ["approved"]
    made.dispose()


def test_who_joins_another_head_office_takes_its_releases_and_keeps_what_is_worked_by(
    at_shop: FlaskClient, shop: Shop
) -> None:
    approve(at_shop)
    with writing(shop.engine) as db:
        standing = shop.standing()
        standing.key = standing.key.replace("P-256", "P-256 ")
        db.merge(standing)
    with session(shop.engine) as db:
        assert releases.newest(db, shop.standing()) is None
        assert releases.in_use(db.connection()) == 1
