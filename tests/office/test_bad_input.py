"""What head office does not take: of another shop, forged, cut, from a newer version, of a log that was rewritten."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from sqlmodel import select

from tests.databases import Databases
from webapp.core.bundle import VERSION
from webapp.core.errors import BadInput, BaybookError, Conflict
from webapp.core.evidence import Entry
from webapp.storage import log, outbox
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import session, writing
from webapp.storage.tables import Job
from webapp.sync.forward import Answer

from .conftest import NOW, Office, Shop

JSON = {"Content-Type": "application/json"}


def refused(answer: Answer) -> tuple[int, str]:
    return answer.status, json.loads(answer.body)["error"]["code"]


def with_body(bundle: dict[str, Any]) -> dict[str, Any]:
    """The first entry that brings what was recorded."""
    return next(one for one in bundle["entries"] if one.get("body"))


def asides(office: Office) -> list[str]:
    return [code for (code,) in office.rows("SELECT code FROM office.aside ORDER BY number")]


def test_a_bundle_in_the_name_of_another_shop(office: Office, shop_of: Callable[[], Shop]) -> None:
    first, second = shop_of(), shop_of()
    first.join()
    second.join(office.code("Quay", "South"))
    assert refused(second.send(second.bundle(), first.name())) == (401, "signature-wrong")
    # Brought by the second, but of the first one's log: its head is not signed by the second's key.
    assert refused(second.send(first.bundle())) == (400, "head-signature")
    assert office.count("entry") == 0
    assert (
        "is not signed by this shop's key" in office.rows("SELECT refused FROM office.shop WHERE name = 'Quay'")[0][0]
    )


def test_who_has_not_joined_and_who_does_not_sign(office: Office, shop: Shop) -> None:
    assert refused(office.exchange("POST", "/office/bundles", JSON, b"{}")) == (401, "not-signed")
    assert refused(shop.send(shop.bundle(), "shop-0000000000000000")) == (401, "shop-unknown")
    code = office.code()
    assert refused(office.exchange("POST", "/office/join", JSON, b"[]")) == (400, "not-an-object")
    with pytest.raises(BadInput) as again:
        shop.join(f"{code}9")
    assert again.value.code == "join-code"


def spoil_head(bundle: dict[str, Any]) -> None:
    bundle["head"]["size"] += 1


def spoil_root(bundle: dict[str, Any]) -> None:
    bundle["head"]["root"] = "00" * 32


def spoil_entry(bundle: dict[str, Any]) -> None:
    said = json.loads(bundle["entries"][0]["entry"])
    bundle["entries"][0]["entry"] = Entry(
        **{name: said[name] for name in said if "-" not in name} | {"events": 1}
    ).text()


def spoil_number(bundle: dict[str, Any]) -> None:
    for one in bundle["entries"]:
        one["number"] += 1


def without_first(bundle: dict[str, Any]) -> None:
    del bundle["entries"][0]


def of_newer_version(bundle: dict[str, Any]) -> None:
    bundle["baybook-bundle"] = VERSION + 1


def of_newer_entry(bundle: dict[str, Any]) -> None:
    bundle["entries"][0]["entry"] = bundle["entries"][0]["entry"].replace('"baybook-entry":1', '"baybook-entry":2')


def no_bundle(bundle: dict[str, Any]) -> None:
    bundle.clear()


def with_more(bundle: dict[str, Any]) -> None:
    bundle["colour"] = "blue"


def ended_never(bundle: dict[str, Any]) -> None:
    with_body(bundle)["body"]["ended_at"] = "soon"


def took_a_word(bundle: dict[str, Any]) -> None:
    with_body(bundle)["body"]["times"][0]["own_s"] = "long"


def with_nothing_in_a_text(bundle: dict[str, Any]) -> None:
    with_body(bundle)["body"]["times"][0]["bay"] = "1\x00"


def went_on_for_less_than_nothing(bundle: dict[str, Any]) -> None:
    with_body(bundle)["body"]["spent"]["steps"][0]["waited_s"] = -1


def paused_without_a_number(bundle: dict[str, Any]) -> None:
    with_body(bundle)["body"]["spent"]["pauses_s"] = ["parts"]


def with_nothing_in_a_step(bundle: dict[str, Any]) -> None:
    with_body(bundle)["body"]["spent"]["steps"][0]["serves"] = ["\x00"]


@pytest.mark.parametrize(
    ("spoil", "expected"),
    [
        (spoil_head, (400, "head-signature")),
        (spoil_root, (400, "head-signature")),
        (spoil_entry, (400, "entry-not-in-log")),
        (spoil_number, (400, "entry-not-in-log")),
        (without_first, (409, "entry-gap")),
        (of_newer_version, (400, "bundle-newer")),
        (of_newer_entry, (400, "bundle-newer")),
        (no_bundle, (400, "bundle-format")),
        (with_more, (400, "unknown-field")),
        (ended_never, (400, "bundle-format")),
        (took_a_word, (400, "not-a-number")),
        (with_nothing_in_a_text, (400, "bundle-format")),
        (went_on_for_less_than_nothing, (400, "out-of-range")),
        (paused_without_a_number, (400, "not-an-object")),
        (with_nothing_in_a_step, (400, "bundle-format")),
    ],
)
def test_what_does_not_fit_is_refused_whole(
    office: Office, shop: Shop, spoil: Callable[[dict[str, Any]], None], expected: tuple[int, str]
) -> None:
    bundle = shop.bundle()
    spoil(bundle)
    assert refused(shop.send(bundle)) == expected
    assert (office.count("entry"), office.count("event"), office.count("head")) == (0, 0, 0)
    shop.drain()
    assert office.count("entry") == shop.size()
    assert office.rows("SELECT refused FROM office.shop") == [(None,)]


def cut_line(body: dict[str, Any]) -> None:
    del body["lines"][3]


def moved_line(body: dict[str, Any]) -> None:
    body["lines"][2], body["lines"][3] = body["lines"][3], body["lines"][2]


def changed_line(body: dict[str, Any]) -> None:
    body["lines"][4] = body["lines"][4].replace('"boot":"', '"boot":"x')


def no_line(body: dict[str, Any]) -> None:
    body["lines"][5] = "what?"


def no_object(body: dict[str, Any]) -> None:
    body["lines"][5] = "[]"


def nested_line(body: dict[str, Any]) -> None:
    body["lines"][5] = "[" * 3000


def half_a_character_in_a_line(body: dict[str, Any]) -> None:
    body["lines"][5] = body["lines"][5].replace('"boot":"', '"boot":"\ud800')


def half_a_character_in_the_sheet(body: dict[str, Any]) -> None:
    body["sheet"] += "\ud800"


def changed_sheet(body: dict[str, Any]) -> None:
    body["sheet"] = body["sheet"].replace("mm", "km")


@pytest.mark.parametrize(
    ("spoil", "code"),
    [
        (cut_line, "events-count"),
        (moved_line, "events-order"),
        (changed_line, "journal-changed"),
        (no_line, "event-damaged"),
        (no_object, "event-damaged"),
        (nested_line, "event-damaged"),
        (half_a_character_in_a_line, "event-damaged"),
        (half_a_character_in_the_sheet, "sheet-changed"),
        (changed_sheet, "sheet-changed"),
    ],
)
def test_what_is_not_as_the_entry_tells_is_kept_aside_and_the_rest_goes_on(
    office: Office, shop: Shop, spoil: Callable[[dict[str, Any]], None], code: str
) -> None:
    bundle = shop.bundle()
    spoiled = with_body(bundle)
    spoil(spoiled["body"])
    answer = json.loads(shop.send(bundle).body)
    said = {one["number"]: one for one in answer["answers"]}[spoiled["number"]]
    assert (said["status"], said["error"]["code"]) == ("aside", code)
    assert asides(office) == [code]
    (kept,) = office.rows("SELECT body FROM office.aside")[0]
    assert json.loads(kept)["lines"] == spoiled["body"]["lines"]
    job = json.loads(spoiled["entry"])["job"]
    assert office.rows("SELECT count(*) FROM office.event WHERE job = :job", job=job) == [(0,)]
    assert office.count("entry") == len(bundle["entries"])
    with writing(shop.engine) as db:
        outbox.note_taken(db, shop.standing(), answer, NOW)
    with session(shop.engine) as db:
        assert [(one.number, one.code) for one in outbox.apart(db)] == [(spoiled["number"], code)]


def test_a_line_that_arrived_before_with_other_bytes_is_told_of(office: Office, shop: Shop) -> None:
    shop.drain()
    job, device, seq = office.rows("SELECT job, device, seq FROM office.event LIMIT 1")[0]
    where = {"job": job, "device": device, "seq": seq}
    with office.engine.begin() as db:  # somebody at head office changes what arrived
        from sqlalchemy import text

        db.execute(text("SELECT set_config('baybook.regions', '*', true)"))
        db.execute(
            text("UPDATE office.event SET sha256 = 'x' WHERE job = :job AND device = :device AND seq = :seq"), where
        )
    shop.join(office.code(again=shop.name()))
    shop.drain()
    assert asides(office) == ["event-other-bytes"]


def put_back(shop: Shop, databases: Databases, copy: Any) -> None:
    """The same shop, with its database as it was copied before."""
    shop.engine.dispose()
    databases.drop(shop.settings.data)
    databases.copy(copy, shop.settings.data)
    shop.engine = engine_for(shop.settings.database_url)


def finish_more(shop: Shop, why: str = "joined") -> None:
    """Something more is entered into the shop's log."""
    with writing(shop.engine) as db:
        job = db.exec(select(Job).where(Job.phase == "finished").order_by(Job.id)).first()
        assert job is not None
        newest = log.newest_of(db, job.id)
        assert newest is not None
        log.add(db, [Entry(**json.loads(newest.text.replace('"baybook-entry":1,', "")) | {"why": why})])


def test_a_shop_put_back_from_an_old_backup_is_told_and_joins_anew(
    office: Office, shop: Shop, databases: Databases, tmp_path: Any
) -> None:
    shop.drain()
    shop.engine.dispose()
    copy = tmp_path / "copy"
    databases.copy(shop.settings.data, copy)
    finish_more(shop)
    shop.drain()
    arrived = office.everything()
    put_back(shop, databases, copy)
    assert shop.turn() is not None  # it learns how far head office has come
    with pytest.raises(Conflict) as behind:
        shop.turn()
    assert behind.value.code == "log-behind"
    assert "put back to an older state" in (shop.standing().why or "")
    assert office.everything() == arrived
    shop.join(office.code(again=shop.name()))
    shop.drain()
    now = office.everything()
    assert now["event"] == arrived["event"]
    assert now["job"] == arrived["job"]
    assert office.rows("SELECT log, size, refused FROM office.shop") == [(2, shop.size(), None)]
    databases.drop(copy)


def test_two_servers_under_one_shops_name_are_told_apart(
    office: Office, shop: Shop, databases: Databases, tmp_path: Any
) -> None:
    shop.drain()
    shop.engine.dispose()
    databases.copy(shop.settings.data, tmp_path / "twin")
    twin = Shop(engine_for(databases.url(tmp_path / "twin")), shop.settings, office)
    finish_more(shop)
    finish_more(twin, "amended")
    finish_more(twin)
    shop.drain()
    assert twin.turn() is not None  # it learns how far head office has come
    with pytest.raises(Conflict) as rewritten:
        twin.turn()
    assert rewritten.value.code == "log-rewritten"
    assert "two servers go by this shop's name" in rewritten.value.message
    assert office.count("entry") == shop.size()
    twin.engine.dispose()
    databases.drop(tmp_path / "twin")


def test_a_shop_with_another_key_cannot_join_as_one_that_is_here(office: Office, shop_of: Callable[[], Shop]) -> None:
    first, second = shop_of(), shop_of()
    first.join()
    with pytest.raises(BaybookError) as refusal:
        second.join(office.code(again=first.name()))
    assert refusal.value.code == "shop-other-key"
    first.drain()
    assert office.count("entry") == first.size()


def test_who_answers_with_a_wrong_cosignature_is_not_believed(office: Office, shop: Shop) -> None:
    def another(*asked: Any) -> Answer:
        answer = office.exchange(*asked)
        said = json.loads(answer.body)
        said["cosigned"]["root"] = "00" * 32
        return Answer(answer.status, answer.headers, json.dumps(said).encode())

    with pytest.raises(BadInput) as wrong:
        shop.turn(another)
    assert wrong.value.code == "cosignature-wrong"
    assert shop.standing().size == 0
    shop.drain()
    assert shop.standing().size == shop.size()


def test_a_head_office_without_postgresql_or_with_an_all_seeing_user_does_not_begin(
    office: Office, tmp_path: Any
) -> None:
    from tests.postgres import USER, url
    from webapp import create_app
    from webapp.config import settings

    for address in (f"sqlite:///{tmp_path / 'office.db'}", url(office.socket, office.database, USER)):
        with pytest.raises(BadInput) as refusal:
            create_app(settings({"HEAD_OFFICE": "yes", "DATABASE_URL": address}, data=tmp_path / "data"))
        assert (refusal.value.code, refusal.value.field) == ("bad-setting", "DATABASE_URL")
