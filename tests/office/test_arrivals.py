"""What a shop sends arrives at head office: all of it, once, whatever happens on the way."""

import hashlib
import json
from collections.abc import Callable, Mapping

import pytest
from sqlmodel import col, select

from webapp.core.bundle import cosigned_text
from webapp.core.errors import Unavailable
from webapp.core.evidence import Head
from webapp.storage import log, privacy
from webapp.storage.attachments import photo_path
from webapp.storage.engine import session, writing
from webapp.storage.keys import decoded, public_key, signed
from webapp.storage.log_tables import Amendment
from webapp.storage.outbox_tables import Cosigned
from webapp.storage.tables import Attachment, Job
from webapp.sync.forward import LONGEST_S, Answer, wait_s

from .conftest import NOW, Office, Shop


def arrived(office: Office, name: str) -> dict[str, list[tuple[str, int, str, str]]]:
    found: dict[str, list[tuple[str, int, str, str]]] = {}
    for job, *line in office.rows("SELECT job, device, seq, sha256, line FROM office.event WHERE shop = :s", s=name):
        found.setdefault(job, []).append(tuple(line))  # type: ignore[arg-type]
    return {job: sorted(lines) for job, lines in found.items()}


def test_all_of_it_arrives_as_the_shop_has_it(office: Office, shop: Shop) -> None:
    shop.drain()
    assert arrived(office, shop.name()) == shop.journals()
    entries = office.rows("SELECT text FROM office.entry ORDER BY number")
    assert [one for (one,) in entries] == shop.entries()
    for journal, events, sheet, entry in office.rows(
        "SELECT j.journal, j.events, s.body, e.text FROM office.job j JOIN office.sheet s ON s.hash = j.sheet "
        "JOIN office.entry e ON e.job = j.id"
    ):
        said = json.loads(entry)
        assert (said["journal"], said["events"]) == (journal, events)
        assert hashlib.sha256(sheet.encode()).hexdigest() == said["sheet"]
    assert office.count("job") == shop.size() == shop.standing().size
    assert office.count("time") > office.count("job")
    assert office.count("aside") == 0


def test_each_photo_arrives_as_it_was_taken(office: Office, shop: Shop) -> None:
    shop.drain()
    with session(shop.engine) as db:
        taken = {one.sha256 for one in db.exec(select(Attachment))}
    assert {one for (one,) in office.rows("SELECT sha256 FROM office.photo WHERE here")} == taken != set()
    assert office.rows("SELECT count(*) FROM office.photo WHERE NOT here") == [(0,)]
    for name in taken:
        data = photo_path(office.photos(shop), name).read_bytes()
        assert data == photo_path(shop.settings.photos, name).read_bytes()


def test_both_keep_what_the_other_has_signed(office: Office, shop: Shop) -> None:
    shop.drain()
    with session(shop.engine) as db:
        kept = db.exec(select(Cosigned).order_by(col(Cosigned.size))).all()
        heads = {one.size: one for one in log.heads(db)}
    standing = shop.standing()
    assert kept[-1].size == shop.size()
    for one in kept:
        said = cosigned_text(standing.shop, Head(one.size, heads[one.size].root, ""), one.at).encode()
        assert signed(public_key(json.loads(standing.key)), decoded(one.signature, "", 64), said)
    (size, signature), *_ = office.rows("SELECT size, signature FROM office.head ORDER BY size DESC")
    assert (size, signature) == (shop.size(), heads[size].signature)


def test_what_comes_again_changes_nothing(office: Office, shop: Shop) -> None:
    whole: list[tuple[str, str, Mapping[str, str], bytes]] = []

    def noted(method: str, path: str, headers: Mapping[str, str], body: bytes) -> Answer:
        whole.append((method, path, headers, body))
        return office.exchange(method, path, headers, body)

    while (sent := shop.turn(noted)) and sent.more:
        pass
    before = office.everything()
    again = [office.exchange(*one) for one in whole]
    assert office.everything() == before
    assert {one.status for one in again} <= {200, 204, 409}  # a bundle that proves from an older head is behind
    assert [json.loads(one.body)["error"]["code"] for one in again if one.status == 409] != []
    assert office.count("entry") == shop.size()


@pytest.mark.parametrize("after", [True, False])
def test_a_line_that_breaks_at_each_request_loses_and_doubles_nothing(office: Office, shop: Shop, after: bool) -> None:
    """Each request is cut once, before it is heard or before its answer is; then it goes through."""
    cut: set[tuple[str, str, str]] = set()

    def breaking(method: str, path: str, headers: Mapping[str, str], body: bytes) -> Answer:
        one = (method, path, headers.get("Upload-Offset", "") or hashlib.sha256(body).hexdigest())
        if one in cut:
            return office.exchange(method, path, headers, body)
        cut.add(one)
        if after:
            office.exchange(method, path, headers, body)
        raise ConnectionResetError("the line broke")

    broken = 0
    while True:
        try:
            sent = shop.turn(breaking)
        except Unavailable:
            broken += 1
            assert broken < 1000
            continue
        if sent is None or not sent.more:
            break
    assert broken >= 3
    assert arrived(office, shop.name()) == shop.journals()
    assert office.count("entry") == shop.size()
    assert shop.standing().failures == 0


def test_a_month_without_a_line_is_only_a_longer_outbox(shop: Shop) -> None:
    def away(*_: object) -> Answer:
        raise ConnectionRefusedError("no route")

    for number in range(12):
        with pytest.raises(Unavailable):
            shop.turn(away)
        assert shop.standing().failures == number + 1
    stands = shop.standing()
    assert (stands.size, stands.code, stands.next_at) == (0, "office-away", "2026-03-07T08:11:15.000Z")
    assert "no route" in (stands.why or "")
    shop.drain()
    assert (shop.standing().size, shop.standing().why) == (shop.size(), None)


def test_tries_come_ever_later_and_not_all_at_once() -> None:
    assert [wait_s(number, 1.0) for number in range(9)] == [5, 10, 20, 40, 80, 160, 320, 640, 900]
    assert wait_s(10_000, 0.0) == LONGEST_S / 2


def test_a_correction_made_later_arrives_too(office: Office, shop: Shop) -> None:
    shop.drain()
    with writing(shop.engine) as db:
        job = db.exec(select(Job).where(Job.phase == "finished").order_by(Job.id)).first()
        assert job is not None
        made = Amendment(job=job.id, number=1, at=NOW, by="DH6RM4", reason="Typed wrong", text="It was bay 2")
        db.add(made)
        db.flush()
        log.enter(db, job, made)
    assert shop.turn() is not None
    assert shop.standing().size == shop.size()
    (said,) = office.rows("SELECT amendments FROM office.job WHERE id = :job", job=job.id)
    assert [one["text"] for one in json.loads(said[0])] == ["It was bay 2"]
    assert arrived(office, shop.name()) == shop.journals()


def erase(shop: Shop) -> tuple[str, str, list[str]]:
    """Erase what is the owners' of all jobs with photos: one of the jobs, its VIN, and the photos."""
    with writing(shop.engine) as db:
        named = col(Job.id).in_(select(Attachment.job))
        jobs = list(db.exec(select(Job).where(named, Job.phase == "finished").order_by(Job.id)))
        found = jobs[0].id, jobs[0].vin
        left = privacy.erase(db, jobs, privacy.WHAT, "DQ3WC8", "The owner asked for it.", NOW)
    privacy.forget_files(shop.settings.data, shop.settings.photos, left)
    return *found, left


def test_what_the_shop_erases_goes_at_head_office_too(office: Office, shop: Shop) -> None:
    shop.drain()
    times = office.rows("SELECT * FROM office.time ORDER BY job, calibration")
    job, vin, photos = erase(shop)
    files = [photo_path(office.photos(shop), one) for one in photos]
    assert files
    assert all(one.exists() for one in files)
    shop.drain()
    of_it = {"job": job}
    assert office.rows("SELECT erased FROM office.job WHERE id = :job", **of_it) == [(True,)]
    for table in ("event", "photo"):
        assert office.rows(f"SELECT count(*) FROM office.{table} WHERE job = :job", **of_it) == [(0,)]
    assert office.rows("SELECT count(*) FROM office.sheet WHERE body LIKE '%' || :vin || '%'", vin=vin) == [(0,)]
    assert not any(one.exists() for one in files)
    assert office.rows("SELECT * FROM office.time ORDER BY job, calibration") == times


def test_what_was_erased_before_it_was_sent_never_leaves_the_shop(office: Office, shop: Shop) -> None:
    job, _vin, _photos = erase(shop)
    shop.drain()
    assert office.rows("SELECT count(*) FROM office.event WHERE job = :job", job=job) == [(0,)]
    assert office.count("entry") == shop.size()


def test_head_office_put_back_from_a_copy_gets_again_what_came_since(office: Office, shop: Shop) -> None:
    with office.put_back_afterwards():
        shop.drain()
        arrived = office.everything()
        assert arrived["entry"] != []
    assert office.count("entry") == 0
    shop.drain()
    assert office.everything() == arrived


def test_two_shops_with_the_same_jobs_are_kept_apart(office: Office, shop_of: Callable[[], Shop]) -> None:
    first, second = shop_of(), shop_of()
    first.join(office.code("Bridge Street", "North"))
    second.join(office.code("Quay", "South"))
    first.drain()
    second.drain()
    assert first.name() != second.name()
    assert arrived(office, first.name()) == first.journals()
    assert arrived(office, second.name()) == second.journals()
