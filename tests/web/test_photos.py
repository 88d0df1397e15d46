"""Photo steps: the picture is kept with the job, or refused with what to do; nothing names one that never came."""

import hashlib
import io
import resource
from pathlib import Path

import pytest
from flask.testing import FlaskClient
from PIL import Image
from sqlalchemy.engine import Engine
from sqlmodel import select

from webapp.config import Settings
from webapp.storage.engine import session
from webapp.storage.tables import Attachment

from .job import AtJob, Begin
from .markup import Page
from .upload import NO_PHOTOS, form_with, stored

STEP = "bay-ready/bay-photo"


@pytest.fixture
def photographing(at: Begin) -> AtJob:
    return at("/bay-photo")


def picture() -> Image.Image:
    """A picture in colour, as a phone's camera might make it."""
    return Image.merge("RGB", [Image.effect_noise((640, 480), spread) for spread in (60, 30, 90)])


def sent(job: AtJob, photo: bytes | None, **more: str) -> Page:
    answer = job.client.post(job.url, **form_with(job.form("photo", **more), photo))
    if answer.status_code == 303:
        return job.page()
    assert answer.status_code in (400, 503), answer.text
    return Page(answer.text)


def files(folder: Path) -> list[Path]:
    return [path for path in folder.rglob("*") if path.is_file()]


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "HEIF"])
def test_a_photo_is_kept_in_colour_and_shown_on_the_record(
    photographing: AtJob, demo_engine: Engine, shop: Settings, kind: str
) -> None:
    sent(photographing, stored(picture(), kind))
    step = photographing.state.step(STEP)
    (name,) = step.photos
    assert step.status == "done"
    with session(demo_engine) as db:
        row = db.exec(select(Attachment).where(Attachment.sha256 == name)).one()
    assert (row.job, row.event) == (photographing.id, photographing.events()[-1].id)
    assert f'src="/photos/{name}.jpg"' in photographing.client.get(f"{photographing.url}/record").text
    with photographing.client.get(f"/photos/{name}.jpg") as answer:
        data = answer.data
    assert (answer.mimetype, hashlib.sha256(data).hexdigest()) == ("image/jpeg", name)
    with Image.open(io.BytesIO(data)) as kept:
        assert kept.size == (640, 480)
        red, _green, blue = (band.tobytes()[:1000] for band in kept.convert("RGB").split())
    assert red != blue


@pytest.mark.parametrize("name", NO_PHOTOS)
def test_a_photo_that_is_none_is_refused_and_nothing_of_it_is_kept(
    photographing: AtJob, shop: Settings, name: str
) -> None:
    photo, says = NO_PHOTOS[name]
    before, on_disk = photographing.events(), files(shop.photos)
    page = sent(photographing, photo)
    assert says in page.alert
    assert page.one("article", class_="step")["data-step"] == STEP
    assert (photographing.events(), files(shop.photos)) == (before, on_disk)


def test_a_photo_step_without_a_photo_asks_for_one(photographing: AtJob) -> None:
    assert "photo is empty; take a picture or choose a file" in sent(photographing, None).alert
    assert "photo is empty; take a picture" in photographing.refused("photo").alert


def test_a_form_cannot_name_a_photo_that_never_came(photographing: AtJob) -> None:
    page = photographing.refused("photo", sha256="a" * 64, media="image/jpeg")
    assert "photo is empty" in page.alert


def test_a_photo_that_comes_with_another_tap_is_not_kept(at: Begin, shop: Settings) -> None:
    job = at("/load")
    on_disk = files(shop.photos)
    answer = job.client.post(job.url, **form_with(job.form("confirm"), stored(picture())))
    assert answer.status_code == 303
    assert job.events()[-1].kind == "confirmed"
    assert files(shop.photos) == on_disk


def test_a_photo_that_the_disk_has_no_room_for_is_refused_whole(
    photographing: AtJob, shop: Settings, client: FlaskClient
) -> None:
    before, on_disk = photographing.events(), files(shop.photos)
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, hard))  # the system refuses to write more, as a full disk does
    try:
        answer = client.post(photographing.url, **form_with(photographing.form("photo"), stored(picture())))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert answer.status_code == 503
    page = Page(answer.text)
    assert "The disk of the shop's computer is full. Nothing was kept; make room on it" in page.alert
    assert page.one("article", class_="step")["data-step"] == STEP
    assert (photographing.events(), files(shop.photos)) == (before, on_disk)
    sent(photographing, stored(picture()))
    assert photographing.state.step(STEP).status == "done"
