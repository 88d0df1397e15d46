"""What a phone takes along: open jobs, packets, what others did, and the shelf."""

import hashlib
import json
from datetime import UTC, datetime

import pytest
from werkzeug.test import TestResponse

from tests.cast import ADA, ILYA, NOOR, TOMAS, scan_badge
from tests.sync.conftest import Exchange
from tests.sync.phone import Phone
from tests.sync.test_bad_input import CONFIRMED
from webapp.core.act import Draft
from webapp.core.procedure import Library
from webapp.library.own import shipped
from webapp.paths import PROCEDURES
from webapp.storage import specs, times
from webapp.storage.engine import session, writing
from webapp.storage.history import load_history
from webapp.storage.kit import item_of
from webapp.sync import packet


def test_the_open_jobs_are_told_with_their_digests(at: Exchange) -> None:
    first, second = at.job(), at.job()
    phone = at.phone(first)
    at.tap(second, Draft("abandoned", None, 1, 0, {"reason": "No."}))
    said = phone.ask(at.client, "/sync/jobs")
    jobs = {one["id"]: one for one in said["jobs"]}
    assert jobs[first]["digest"] == phone.digest(first) == at.digest(first)
    assert (jobs[first]["sheet"], jobs[first]["repair_order"]) == (phone.jobs[first].sheet_hash, "RO 1")


def test_a_finished_job_is_no_longer_open(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, Draft("abandoned", None, 1, 0, {"reason": "Customer took it."}))
    phone.send(at.client)
    assert phone.ask(at.client, "/sync/jobs")["jobs"] == []
    assert phone.ask(at.client, f"/sync/jobs/{job}/packet")["phase"] == "abandoned"


def test_a_packet_holds_all_that_is_needed_to_work_alone(at: Exchange) -> None:
    job = at.job()
    at.tap(job, CONFIRMED)
    phone = at.phone(job)
    assert (phone.state(job), phone.digest(job)) == (at.state(job), at.digest(job))
    assert phone.kit["L1"]["name"] == "Board left"
    said = phone.ask(at.client, f"/sync/jobs/{job}/packet")
    assert said["people"][NOOR.badge] == {"name": "Noor Brandt", "role": "technician", "short": [], "levels": {}}
    assert hashlib.sha256(said["body"].encode()).hexdigest() == said["sheet"]


def test_two_phones_hear_of_each_other_byte_by_byte(at: Exchange) -> None:
    job = at.job()
    one, other = at.phone(job), at.phone(job)
    one.tap(job, do="confirm")
    one.lines[1] = one.lines[1].replace(":", ": ", 1)  # a spelling of its own
    other.tap(job, do="note", text="Näher 😀 \u2028")
    one.send(at.client)
    other.send(at.client)
    for phone in (one, other):
        said = phone.pull(at.client, job)
        assert said["digest"] == phone.digest(job) == at.digest(job)
    assert one.state(job) == other.state(job) == at.state(job)
    assert one.lines[1] in other.jobs[job].others.values()


def test_events_come_page_by_page(at: Exchange, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(packet, "MOST_EVENTS", 3)
    job = at.job()
    for _ in range(6):
        at.tap(job, CONFIRMED)
    phone = at.phone(job)
    pages = 1
    while phone.pull(at.client, job)["more"]:
        pages += 1
    assert (pages, phone.digest(job)) == (2, at.digest(job))


def test_what_the_server_decided_otherwise_comes_along_for_the_jobs_page(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    data = {"outcome": "done", "code": "", "text": "", "reason": "", "held": False}
    phone.keep(job, Draft("resulted", "work/chock", 1, 0, data))
    phone.send(at.client)
    (event,) = [one for one in phone.events(job) if one.kind == "resulted"]
    (told,) = phone.pull(at.client, job)["differences"]
    assert (told["event"], told["what"], told["phone"]) == (event.id, "do-not-here", "resulted")
    assert phone.ask(at.client, f"/sync/jobs/{job}/packet")["differences"] == [told]


def test_a_job_in_planning_has_no_packet(at: Exchange) -> None:
    client = at.client
    scan_badge(client, NOOR)
    where = client.post("/jobs/new", data={"vin": "0RVWA4G2XK1000417", "confirmed": "0RVWA4G2XK1000417"})
    job = where.headers["Location"].split("/")[2]
    phone = at.phone()
    answer = phone.request("GET", f"/sync/jobs/{job}/packet").arrive(client)
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (404, "sheet-unknown")
    assert phone.ask(client, "/sync/jobs")["jobs"] == []


def shelf(at: Exchange, phone: Phone, query: str = "", **headers: str) -> TestResponse:
    return phone.request("GET", f"/sync/shelf{query}", Accept_Encoding="br", **headers).arrive(at.client)


def damage(at: Exchange) -> None:
    with writing(at.engine) as db:
        item = item_of(db, "L1")
        item.condition = "damaged"
        db.add(item)


def test_the_shelf_is_sent_anew_only_when_it_has_changed(at: Exchange) -> None:
    phone = at.phone()
    said = phone.ask(at.client, "/sync/shelf")
    assert [one["vehicle"] for one in said["shelf"]["vehicles"]]
    assert set(said) == {"library", "shelf", "kit", "people", "phones", "times", "sealing_key", "lock_after_s"}
    assert "hash" not in json.dumps(said["people"])
    etag = shelf(at, phone).headers["ETag"]
    again = shelf(at, phone, If_None_Match=etag)
    assert (again.status_code, again.data) == (304, b"")
    damage(at)
    changed = shelf(at, phone, If_None_Match=etag)
    assert (changed.status_code, changed.headers["ETag"] != etag) == (200, True)


def test_a_phone_that_has_the_library_is_sent_only_what_changes_from_day_to_day(at: Exchange) -> None:
    phone = at.phone()
    held = phone.ask(at.client, "/sync/shelf")["library"]
    damage(at)
    said = phone.ask(at.client, f"/sync/shelf?library={held}")
    assert (said["library"], said["kit"]["L1"]["condition"], "shelf" in said) == (held, "damaged", False)
    assert "shelf" in phone.ask(at.client, f"/sync/shelf?library={held[:-1]}")


def test_the_shelf_brings_the_shops_own_vehicles_once_they_are_approved(at: Exchange) -> None:
    phone = at.phone()
    held = phone.ask(at.client, "/sync/shelf")["library"]
    document = shipped(PROCEDURES).vehicles["orvane-wagon"].plain()
    own = document | {"revision": 3, "vehicle": "orvane-own", "model": "Own", "vin": ["0RVZZ*"]}
    with writing(at.engine) as db:
        specs.save(db, own, None, TOMAS.badge, "2026-03-02T08:00:00.000Z")
    assert "shelf" not in phone.ask(at.client, f"/sync/shelf?library={held}")  # a draft is nobody's business
    with writing(at.engine) as db:
        specs.approve(db, "orvane-own", 3, ADA.badge, "2026-03-02T08:01:00.000Z")
    said = phone.ask(at.client, f"/sync/shelf?library={held}")["shelf"]
    assert [one["model"] for one in said["vehicles"] if one["vehicle"] == "orvane-own"] == ["Own"]
    assert said["approvals"]["orvane-own"]["by"] == ADA.name
    with writing(at.engine) as db:
        specs.withdraw(db, "orvane-own", ADA.badge, "2026-03-02T08:02:00.000Z", "Recalled")
    said = phone.ask(at.client, "/sync/shelf")
    assert said["shelf"]["approvals"] == {}
    assert said["library"] == held  # what ships, and nothing else, to the byte


def test_the_shelf_carries_the_shops_own_times_as_soon_as_there_are_enough(at: Exchange, library: Library) -> None:
    phone = at.phone()
    assert phone.ask(at.client, "/sync/shelf")["times"] == {}
    load_history(at.engine, library, at.settings.photos, until=datetime(2026, 3, 6, 17, tzinfo=UTC))
    said = phone.ask(at.client, "/sync/shelf")["times"]
    with session(at.engine) as db:
        expected = {name: times.expected(db, name) for name in library.procedures}
    known = {name: one for name, one in expected.items() if one}
    assert said.keys() == known.keys()
    for name, one in said.items():  # a database may add up a mean in another order the next time
        assert one == pytest.approx(known[name])
    assert len(said) > 5


def test_a_phone_hears_of_the_jobs_that_are_planned_here_and_of_those_that_ended(at: Exchange) -> None:
    phone, ended = at.phone(), at.job()
    where = at.client.post("/jobs/new", data={"vin": "0RVWA4G2XK1000417"}).headers["Location"]
    at.client.post(f"/jobs/{ended}", data={"do": "abandon", "reason": "No."})
    at.client.post("/equipment-check")
    said = phone.ask(at.client, "/sync/jobs")
    (planned,) = said["planned"]
    assert (planned["id"], planned["vin"], planned["vehicle"]) == (
        where.split("/")[2],
        "0RVWA4G2XK1000417",
        "orvane-wagon",
    )
    assert [(one["id"], one["phase"]) for one in said["ended"]] == [(ended, "abandoned")]
    assert (said["check"]["phase"], said["check"]["finished_at"]) == ("open", None)


def choose(at: Exchange, phone: Phone, *choices: dict[str, str]) -> TestResponse:
    return phone.request("POST", "/sync/choices", {"choices": [*choices]}).arrive(at.client)


def test_who_reads_the_short_text_comes_home_and_goes_along_with_the_shelf(at: Exchange) -> None:
    phone = at.phone()
    known = shelf(at, phone).headers["ETag"]
    chosen = {"person": NOOR.badge, "procedure": "floor-survey", "texts": "short"}
    assert choose(at, phone, chosen).get_json() == {"taken": 1}
    changed = shelf(at, phone, If_None_Match=known)
    assert changed.status_code == 200
    assert phone.ask(at.client, "/sync/shelf")["people"][NOOR.badge]["short"] == ["floor-survey"]
    assert choose(at, phone, chosen).get_json() == {"taken": 1}  # heard twice
    assert shelf(at, phone, If_None_Match=changed.headers["ETag"]).status_code == 304
    back = [chosen | {"procedure": "vehicle-ready"}, chosen | {"texts": "full"}]
    assert choose(at, phone, *back).get_json() == {"taken": 2}
    assert phone.ask(at.client, "/sync/shelf")["people"][NOOR.badge]["short"] == ["vehicle-ready"]


def test_a_choice_that_is_not_its_makers_any_more_is_let_go(at: Exchange) -> None:
    phone = at.phone()
    known = shelf(at, phone).headers["ETag"]
    chosen = {"person": ILYA.badge, "procedure": "floor-survey", "texts": "short"}
    others = [chosen | {"person": "NOBODY"}, chosen | {"person": NOOR.badge, "procedure": "unheard-of"}]
    assert choose(at, phone, chosen, *others).get_json() == {"taken": 0}
    assert shelf(at, phone, If_None_Match=known).status_code == 304


def test_choices_of_another_shape_are_refused_by_their_field(at: Exchange) -> None:
    phone = at.phone()
    chosen = {"person": NOOR.badge, "procedure": "floor-survey", "texts": "short"}
    answer = choose(at, phone, chosen, chosen | {"texts": "long"})
    assert (answer.status_code, answer.get_json()["error"]["field"]) == (400, "choices[1].texts")
    assert phone.ask(at.client, "/sync/shelf")["people"][NOOR.badge]["short"] == []
    many = phone.request("POST", "/sync/choices", {"choices": [chosen] * 2000}).arrive(at.client)
    assert (many.status_code, many.get_json()["error"]["code"]) == (413, "batch-too-large")
    assert at.client.post("/sync/choices", json={"choices": []}).status_code == 401


def test_of_jobs_that_lie_on_a_phone_all_digests_are_told_at_once(at: Exchange) -> None:
    first, second = at.job(), at.job()
    phone = at.phone(first)
    at.tap(second, Draft("abandoned", None, 1, 0, {"reason": "No."}))
    answer = phone.request("POST", "/sync/digests", {"jobs": [second, first, "elsewhere", first]}).arrive(at.client)
    assert answer.get_json() == {"digests": {first: at.digest(first), second: at.digest(second)}}
    at.tap(first, CONFIRMED)
    answer = phone.request("POST", "/sync/digests", {"jobs": [first]}).arrive(at.client)
    assert answer.get_json() == {"digests": {first: at.digest(first)}}
    assert phone.request("POST", "/sync/digests", {"jobs": []}).arrive(at.client).get_json() == {"digests": {}}
