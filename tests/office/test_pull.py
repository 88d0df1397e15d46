"""A shop fetches what head office releases, and takes nothing that is forged, cut, older, or unfit."""

import json
from collections.abc import Callable, Mapping

import pytest
from sqlalchemy import func
from sqlmodel import select

from webapp.core.errors import BadInput, BaybookError, Conflict, Unavailable
from webapp.core.release import signed_text
from webapp.storage import outbox, releases
from webapp.storage.engine import session
from webapp.storage.keys import encoded, sign
from webapp.storage.office import door, shops
from webapp.storage.own_keys import RECORDS, private_key
from webapp.storage.release_tables import Release, ReleaseFile
from webapp.sync.asking import Answer
from webapp.sync.pull import Pulled

from .conftest import NOW, Office, Shop
from .releasing import CAMERA, CLOSER, answering, changed, give_out, signed_by

NEWEST, FILES = "/office/releases/newest", "/office/releases/files/"
LATER = "2026-03-08T08:00:00.000Z"


def held(shop: Shop) -> list[int]:
    """The numbers of the releases that the shop holds."""
    with session(shop.engine) as db:
        return [one.number for one in releases.every(db)]


def why(shop: Shop) -> str | None:
    """What the shop's page says of the last try."""
    with session(shop.engine) as db:
        return releases.asked(db).why


def files_held(shop: Shop) -> int:
    with session(shop.engine) as db:
        return db.exec(select(func.count()).select_from(ReleaseFile)).one()


def test_a_shop_fetches_a_release_whole_and_then_only_what_is_new(office: Office, shop: Shop) -> None:
    assert shop.pull() == Pulled(None, True)  # that it works by what came along
    give_out(office, changed())
    assert shop.pull() == Pulled(1, False)
    with session(shop.engine) as db:
        said = releases.said_by(releases.every(db)[0])
        assert releases.files_of(db, said) == changed()
        assert [one.number for one in releases.every(db) if one == releases.waiting(db)] == [1]
    give_out(office, changed(*CLOSER))
    asked: list[str] = []

    def listening(method: str, path: str, headers: Mapping[str, str], body: bytes) -> Answer:
        asked.append(path)
        return office.exchange(method, path, headers, body)

    shop.pull(listening)
    assert held(shop) == [2, 1]
    assert [path for path in asked if path.startswith(FILES)] == [path for path in asked if path != NEWEST]
    assert len(asked) == 3
    asked.clear()
    shop.pull(listening)
    assert asked == [NEWEST]


def test_who_has_it_is_answered_in_a_few_bytes(office: Office, shop: Shop) -> None:
    give_out(office, changed())
    shop.pull()
    answers: list[Answer] = []

    def listening(method: str, path: str, headers: Mapping[str, str], body: bytes) -> Answer:
        answers.append(office.exchange(method, path, headers, body))
        return answers[-1]

    shop.pull(listening)
    assert [(one.status, one.body) for one in answers] == [(304, b"")]


def test_a_line_that_breaks_off_costs_one_file(office: Office, shop: Shop) -> None:
    give_out(office, changed())
    for _ in range(3):
        left = 5

        def torn(method: str, path: str, headers: Mapping[str, str], body: bytes) -> Answer:
            nonlocal left
            left -= path.startswith(FILES)
            if left < 0:
                raise ConnectionResetError("the line broke off")
            return office.exchange(method, path, headers, body)

        with pytest.raises(Unavailable, match="the line broke off"):
            shop.pull(torn)
    assert files_held(shop) == 15
    assert (held(shop), why(shop)) == ([], None)
    shop.pull()
    assert held(shop) == [1]


def spoil(change: Callable[[dict[str, str]], dict[str, str]]) -> Callable[[Answer], Answer]:
    return lambda answer: Answer(200, answer.headers, json.dumps(change(json.loads(answer.body))).encode())


def newer(office: Office, given: dict[str, str]) -> dict[str, str]:
    return signed_by(office, json.dumps(json.loads(given["manifest"]) | {"baybook-release": 2}))


def elsewhere(office: Office, given: dict[str, str]) -> dict[str, str]:
    said = json.loads(given["manifest"])
    said["files"][0]["place"] = "../../secret.yaml"
    return signed_by(office, json.dumps(said))


BAD: dict[str, tuple[Callable[[Office, dict[str, str]], dict[str, str]], str, str]] = {
    "another note": (
        lambda office, given: given | {"manifest": given["manifest"].replace("closer", "nearer")},
        "release-forged",
        "is not head office's",
    ),
    "no signature": (lambda office, given: given | {"signature": "A" * 86}, "release-forged", "is not head office's"),
    "half a signature": (lambda office, given: given | {"signature": "AA"}, "not-base64url", "64 bytes in base64url"),
    "cut": (lambda office, given: given | {"manifest": given["manifest"][:200]}, "release-forged", "not head office's"),
    "a newer form": (newer, "release-newer", "baybook-release=2 is newer than the 1 that is read here; update Baybook"),
    "a way out of the folder": (elsewhere, "release-place", "files[0].place='../../secret.yaml' is no place"),
    "no texts": (lambda office, given: {"manifest": "1"}, "release-format", "must be texts"),
    "nothing": (lambda office, given: {}, "release-format", "must be texts"),
    "signed, and no release": (lambda office, given: signed_by(office, "[1]"), "release-format", "is missing"),
}


@pytest.mark.parametrize("case", BAD)
def test_what_is_not_head_offices_own_release_is_refused_and_nothing_changes(
    office: Office, shop: Shop, case: str
) -> None:
    change, code, message = BAD[case]
    give_out(office, changed())
    exchange = answering(office.exchange, NEWEST, spoil(lambda given: change(office, given)))
    with pytest.raises(BaybookError) as told:
        shop.pull(exchange)
    assert told.value.code == code
    assert message in told.value.message
    assert (held(shop), files_held(shop), why(shop)) == ([], 0, told.value.message)
    shop.pull()
    assert (held(shop), why(shop)) == ([1], None)


def test_another_head_offices_key_signs_nothing_here(office: Office, shop: Shop, shop_of: Callable[[], Shop]) -> None:
    give_out(office, changed())
    other = shop_of()  # whatever key it is: this one is not head office's
    key = private_key(other.settings.data, RECORDS)

    def forged(given: dict[str, str]) -> dict[str, str]:
        return given | {"signature": encoded(sign(key, signed_text(given["manifest"])))}

    with pytest.raises(BadInput, match="is not head office's"):
        shop.pull(answering(office.exchange, NEWEST, spoil(forged)))
    assert held(shop) == []


def test_a_file_that_was_cut_or_changed_on_its_way_is_not_kept(office: Office, shop: Shop) -> None:
    give_out(office, changed())
    for make in (lambda body: body[:-1], lambda body: body + b" ", lambda _body: b""):
        exchange = answering(office.exchange, FILES, lambda one: Answer(200, one.headers, make(one.body)))  # noqa: B023
        with pytest.raises(BadInput, match="of the release came otherwise than its digest says"):
            shop.pull(exchange)
        assert (held(shop), files_held(shop)) == ([], 0)
    assert "came otherwise" in (why(shop) or "")


def test_an_older_release_that_is_played_again_changes_nothing(office: Office, shop: Shop) -> None:
    kept: list[Answer] = []

    def keeping(answer: Answer) -> Answer:
        kept.append(answer)
        return answer

    give_out(office, changed())
    shop.pull(answering(office.exchange, NEWEST, keeping))
    give_out(office, changed(*CLOSER))
    shop.pull()
    with pytest.raises(Conflict, match="release=1 is older than the 2 that is held here"):
        shop.pull(answering(lambda *_: Answer(200, {}, b""), NEWEST, lambda _one: kept[0]))
    assert held(shop) == [2, 1]


def test_a_number_that_stands_for_something_else_now_is_refused(office: Office, shop: Shop) -> None:
    give_out(office, changed())
    shop.pull()
    with session(shop.engine) as db:
        row = db.exec(select(Release)).one()
    other = json.dumps(signed_by(office, row.manifest.replace("closer", "nearer"))).encode()
    with pytest.raises(Conflict, match="release=1 is another one than the 1 that is held here"):
        shop.pull(answering(lambda *_: Answer(200, {}, b""), NEWEST, lambda _one: Answer(200, {}, other)))
    assert held(shop) == [1]


@pytest.mark.parametrize(
    ("before", "after", "message"),
    [
        ("kind: choose", "kind: chose", f"{CAMERA}:40: "),
        ("sort: calibration", "sort: calibration\nwonder: new", f"{CAMERA}:6: "),
    ],
)
def test_a_release_that_lint_finds_fault_with_here_is_refused_by_file_and_line(
    office: Office, shop: Shop, before: str, after: str, message: str
) -> None:
    give_out(office, changed((CAMERA, before, after)))  # past the command, as a newer program might have made it
    with pytest.raises(BadInput) as told:
        shop.pull()
    assert told.value.code == "release-unfit"
    assert f"release=1 cannot be worked with here: {message}" in told.value.message
    assert held(shop) == []
    give_out(office, changed(), now=LATER)
    shop.pull()
    assert (held(shop), why(shop)) == ([2], None)


def test_a_month_without_a_line_is_no_trouble(office: Office, shop: Shop) -> None:
    def away(*_: object) -> Answer:
        raise ConnectionRefusedError("no route to host")

    for day in range(1, 32):
        with pytest.raises(Unavailable):
            shop.pull(away, f"2026-05-{day:02}T08:00:00.000Z")
        give_out(office, changed((CAMERA, "revision: 2", f"revision: {day + 2}")))
    assert (held(shop), why(shop)) == ([], None)
    shop.pull()
    assert held(shop) == [31]


def test_a_shop_that_has_left_is_given_none(office: Office, shop: Shop) -> None:
    give_out(office, changed())
    with door.of_everything(office.engine) as db:
        shops.take_out(db, shop.name(), "DQ3WC8", NOW)
    with pytest.raises(BaybookError, match="was taken out on"):
        shop.pull()
    assert held(shop) == []


def test_another_head_office_begins_its_numbers_anew(office: Office, shop: Shop) -> None:
    """Its key is another: what was released before stays, and is not taken for its own."""
    give_out(office, changed(*CLOSER))
    shop.pull()
    (office.settings.data / RECORDS).unlink()
    private_key.cache_clear()
    shop.join(office.code(again=shop.name()))
    with session(shop.engine) as db:
        assert (known := outbox.head_office(db))
        assert releases.newest(db, known) is None
    give_out(office, changed(), now=NOW)
    shop.pull()
    assert held(shop) == [2, 1]
