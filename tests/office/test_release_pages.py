"""Head office's pages about releases: a new one with its reason, which shop works by which, and who lags behind."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from flask.testing import FlaskClient

from tests.cast import ADA, TOMAS, scan_badge
from tests.web.markup import Page
from webapp.core.procedure import Library
from webapp.storage import demo, releases
from webapp.storage.engine import writing
from webapp.storage.office import door, shops

from .conftest import NOW, Office, Shop
from .releasing import CAMERA, CLOSER, GLASS, OTHER_GLASS, changed, give_out


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Head office's own procedures, to be changed."""
    made = tmp_path / "own-procedures"
    for place, data in changed().items():
        (made / place).parent.mkdir(parents=True, exist_ok=True)
        (made / place).write_bytes(data)
    return made


@pytest.fixture
def desk(office: Office, library: Library, folder: Path) -> Iterator[FlaskClient]:
    """A browser at head office, with a manager's badge."""
    with writing(office.engine) as db:
        demo.load(db, library.catalogue, date(2026, 3, 7))
    office.app.extensions["settings"] = replace(office.settings, procedures=folder)
    with office.app.test_client() as opened:
        scan_badge(opened, TOMAS)
        yield opened


def text_of(desk: FlaskClient, path: str) -> str:
    answer = desk.get(path)
    assert answer.status_code == 200, answer.text
    return Page(answer.text).text


def release(desk: FlaskClient, note: str = "Closer now", pin: str = TOMAS.pin) -> tuple[int, str]:
    answer = desk.post("/shops/releases", data={"note": note, "pin": pin})
    return answer.status_code, Page(answer.text).text


def test_a_manager_releases_what_head_office_has_and_sees_what_it_changes_first(
    desk: FlaskClient, folder: Path, office: Office
) -> None:
    assert "Nothing was released yet" in text_of(desk, "/shops/releases")
    status, text = release(desk)
    assert (status, "● Release 1 is made." in text) == (200, True)
    assert "Nothing there differs from the last release." in text
    path = folder / CAMERA
    path.write_text(path.read_text().replace(GLASS, OTHER_GLASS).replace("revision: 2", "revision: 3", 1))
    text = text_of(desk, "/shops/releases")
    assert f"Instruction: “{GLASS}” becomes “{OTHER_GLASS}”" in text
    assert release(desk, "Look at all of it")[0] == 200
    said = office.rows("SELECT number, made_by, note FROM office.release ORDER BY number")
    assert said == [(1, TOMAS.name, "Closer now"), (2, TOMAS.name, "Look at all of it")]
    text = text_of(desk, "/shops/releases/2")
    assert "What changes against: Release 1" in text
    assert f"becomes “{OTHER_GLASS}”" in text
    assert desk.get("/shops/releases/9").status_code == 404


def test_what_cannot_be_released_is_told_by_file_and_line(desk: FlaskClient, folder: Path, office: Office) -> None:
    path = folder / CAMERA
    path.write_text(path.read_text().replace("kind: choose", "kind: chose", 1))
    assert f"{CAMERA}:40: steps.glass.kind: 'chose' is unknown" in text_of(desk, "/shops/releases")
    status, text = release(desk)
    assert (status, f"{CAMERA}:40:" in text) == (400, True)
    assert office.count("release") == 0


@pytest.mark.parametrize(
    ("note", "pin", "status", "said"),
    [
        (" ", TOMAS.pin, 400, "note=' ' must be 1 to 300 characters: say to the shops why there is a release"),
        ("Closer now", "0000", 403, f"pin is not that of {TOMAS.name}"),
    ],
)
def test_a_release_needs_a_reason_and_a_pin(
    desk: FlaskClient, office: Office, note: str, pin: str, status: int, said: str
) -> None:
    answer = desk.post("/shops/releases", data={"note": note, "pin": pin})
    assert answer.status_code == status
    page = Page(answer.text)
    assert said in page.text
    assert note.strip() in answer.text
    assert office.count("release") == 0


def test_only_a_manager_who_sees_every_region_releases(desk: FlaskClient, office: Office) -> None:
    with door.of_everything(office.engine) as db:
        shops.give_regions(db, TOMAS.badge, ["North"])
        shops.give_regions(db, ADA.badge, ["North"])
    status, text = release(desk)
    assert (status, "Releasing is for a manager who sees every region" in text) == (403, True)
    assert "A new release" not in text_of(desk, "/shops/releases")
    scan_badge(desk, ADA)
    assert release(desk, pin=ADA.pin)[0] == 403
    assert "Releases" in text_of(desk, "/shops/releases")
    assert office.count("release") == 0


def test_head_office_sees_which_shop_works_by_which_and_who_lags(
    desk: FlaskClient, office: Office, shop_of: Callable[[], Shop]
) -> None:
    north, south = shop_of(), shop_of()
    north.join(office.code("Bridge Street", "North"))
    south.join(office.code("Quay", "South"))
    give_out(office, changed(*CLOSER))
    for shop in (north, south):
        shop.pull()
    with writing(north.engine) as db:
        releases.approve(db, 1, 0, ADA.badge, NOW, waits=False)
    with writing(south.engine) as db:
        releases.decline(db, 1, ADA.badge, NOW, "The boards are on loan")
    for shop in (north, south):
        shop.pull()
    page = Page(desk.get("/shops").text)
    rows = {name: next(one.text for one in page.all("li") if name in one.text) for name in ("Bridge Street", "Quay")}
    assert "works by release 1" in rows["Bridge Street"]
    assert "newer" not in rows["Bridge Street"]
    assert "works by what came along · ◐ release 1 is newer" in rows["Quay"]
    text = text_of(desk, "/shops/releases/1")
    assert "Shops that do not work by it yet 1" in text
    assert "Shops that work by it 1" in text
    assert f"Declined by {ADA.name}" in text
    assert "The boards are on loan" in text
    assert "1 of 2 shops work by it" in text_of(desk, "/shops/releases")
    assert "The boards are on loan" in text_of(desk, f"/shops/{south.name()}")
    with door.of_everything(office.engine) as db:
        shops.give_regions(db, ADA.badge, ["North"])
    scan_badge(desk, ADA)
    text = text_of(desk, "/shops/releases/1")
    assert "Bridge Street" in text
    assert "Quay" not in text
    assert "The boards are on loan" not in text
