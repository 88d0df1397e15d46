"""Scans on the checklist: every label gets its verdict and what to do next, and every scan is an event."""

import pytest
from sqlalchemy.engine import Engine

from tests.cast import ILYA, NOOR, label_of, thing
from webapp.core.labels import Label, label_text
from webapp.storage import kit
from webapp.storage.engine import session, writing

from .job import AtJob, Begin
from .markup import Page
from .upload import NO_PHOTOS, code_photo, form_with

BOARDS = "forward-camera-static/hang-boards"


@pytest.fixture
def hanging(at: Begin) -> AtJob:
    """The step that hangs two boards on two arms."""
    return at("/hang-boards")


def label(engine: Engine, is_: str, *, spare: bool = False) -> str:
    with session(engine) as db:
        return label_of(thing(db, is_, spare=spare))


def scanned(job: AtJob, text: str, **more: str) -> Page:
    """The page after this label was read; the scan is in the journal, whatever it was."""
    before = len(job.events())
    job.tap("scan", text=text, **more)
    assert len(job.events()) == before + 1
    assert job.events()[-1].kind == "scanned"
    return job.page()


def verdict(page: Page) -> str:
    return page.one("div", data_verdict="").text


def test_boards_in_their_places_end_the_step(hanging: AtJob) -> None:
    page = scanned(hanging, hanging.label())
    assert "is the right one. Now scan its spot: Stand, left arm." in verdict(page)
    assert "In hand: " in page.text
    page = scanned(hanging, hanging.label())
    assert "1 still to place" in verdict(page)
    scanned(hanging, hanging.label())
    scanned(hanging, hanging.label())
    assert hanging.state.step(BOARDS).status == "done"
    assert len(hanging.state.step(BOARDS).placed) == 2


def test_an_arm_may_be_scanned_before_its_board(hanging: AtJob, demo_engine: Engine) -> None:
    page = scanned(hanging, label(demo_engine, "stand-left-arm"))
    assert "is the right spot. Now scan Camera board, left" in verdict(page)
    scanned(hanging, label(demo_engine, "camera-board-left"))
    assert len(hanging.state.step(BOARDS).placed) == 1


def test_a_swapped_pair_names_both_spots(hanging: AtJob, demo_engine: Engine) -> None:
    scanned(hanging, label(demo_engine, "camera-board-left"))
    told = verdict(scanned(hanging, label(demo_engine, "stand-right-arm")))
    assert "Right target, wrong spot" in told
    assert "Camera board, left belongs on Stand, left arm" in told
    assert "Stand, right arm takes Camera board, right" in told
    assert hanging.state.step(BOARDS).placed == ()


@pytest.mark.parametrize(
    ("is_", "spare", "says"),
    [
        ("radar-plate", False, ("Wrong target", "does not belong here. Put it aside")),
        ("pattern-front", False, ("Not part of this job", "Put it back")),
        ("camera-board-left", True, ("Out of service", "is marked as damaged", "instead")),
        ("camera-board-right", True, ("Out of service", "is overdue")),
        ("test-label", False, ("Label of another kind", "That is the test label")),
        ("rack-plate", False, ("Not part of this job", "has no part in this step")),
    ],
)
def test_a_thing_that_does_not_belong_is_named_with_what_to_do(
    hanging: AtJob, demo_engine: Engine, is_: str, spare: bool, says: tuple[str, ...]
) -> None:
    told = verdict(scanned(hanging, label(demo_engine, is_, spare=spare)))
    assert all(one in told for one in says), told
    assert hanging.state.step(BOARDS).status == "open"


OTHERS = [
    ("https://example.org/p/1234?size=XL", "Not one of our labels"),
    ("4006381333931", "Not one of our labels"),
    ("]C1ABC-abc-1234", "Not one of our labels"),
    ("0RVWA4G2XK1000417", "Not one of our labels"),
    ("<script>alert(1)</script>", "Not one of our labels"),
    ("x" * 3000, "Not one of our labels"),
    ("BAY.T." + "A" * 3000, "Not one of our labels"),
    ("BAY.T.P-1.0", "Unreadable"),
    ("BAY.T.P-1", "Unreadable"),
    ("BAY.X.P-1.0", "Unreadable"),
    (label_text(Label("target", "NOWHERE-1")), "NOWHERE-1 is not in the shop's kit"),
    (NOOR.label, "That is a person's badge"),
]


@pytest.mark.parametrize(("text", "says"), OTHERS)
def test_a_label_that_is_none_of_ours_is_kept_as_it_was_read_and_answered(hanging: AtJob, text: str, says: str) -> None:
    page = scanned(hanging, text)
    assert says in verdict(page)
    assert page.one("span", class_="code").text == text[:60]
    assert all(one.has("src") for one in page.all("script"))
    event = hanging.events()[-1]
    assert event.data["text"] == text[:200]
    assert hanging.state.step(BOARDS).status == "open"


def test_wrong_scans_are_counted_and_stand_on_the_record(hanging: AtJob, demo_engine: Engine) -> None:
    scanned(hanging, "https://example.org/p/1234")
    scanned(hanging, label(demo_engine, "radar-plate"))
    scanned(hanging, hanging.label())
    assert hanging.state.step(BOARDS).wrong_scans == 2
    record = hanging.page("/record").text
    for told in ("https://example.org/p/1234", "Not one of our labels", "Wrong target", "Match"):
        assert told in record


def test_what_is_placed_already_is_said_so(hanging: AtJob) -> None:
    first = hanging.label()
    scanned(hanging, first)
    scanned(hanging, hanging.label())
    assert "is on Stand, left arm already" in verdict(scanned(hanging, first))


def test_a_board_that_was_damaged_a_minute_ago_is_out_of_service_now(hanging: AtJob, demo_engine: Engine) -> None:
    text = label(demo_engine, "camera-board-left")
    with writing(demo_engine) as db:
        kit.report_damage(db, thing(db, "camera-board-left").code, "Corner bent", NOOR.name, "2026-03-02")
    assert "Out of service" in verdict(scanned(hanging, text))


def test_a_scan_of_nothing_is_refused_and_adds_nothing(hanging: AtJob) -> None:
    for text in ("", "   ", "\r\n"):
        page = hanging.refused("scan", text=text)
        assert "text is empty; scan a label, take a photo of it, or type what stands beneath it" in page.alert


def test_what_a_scanner_adds_around_a_label_does_no_harm(hanging: AtJob) -> None:
    scanned(hanging, f"  {hanging.label().lower()}\r\n")
    assert hanging.state.step(BOARDS).holding is not None


def test_an_apprentices_boards_are_looked_at_by_a_supervisor(at: Begin) -> None:
    job = at("/hang-boards", ILYA)
    for _ in range(4):
        scanned(job, job.label())
    assert job.state.step(BOARDS).status == "held"
    assert "Hold point" in job.page().text


# --- a photo in place of a scanner


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP", "HEIF"])
def test_a_photo_of_the_label_is_as_good_as_a_scan(hanging: AtJob, kind: str) -> None:
    text = hanging.label()
    answer = hanging.client.post(hanging.url, **form_with(hanging.form("scan", text=""), code_photo(text, kind=kind)))
    assert answer.status_code == 303, answer.text
    event = hanging.events()[-1]
    assert (event.data["text"], event.data["via"], event.data["verdict"]) == (text, "photo", "match")


def test_a_photo_of_another_makers_code_gets_its_verdict(hanging: AtJob) -> None:
    photo = code_photo("https://example.org/p/1234")
    assert hanging.client.post(hanging.url, **form_with(hanging.form("scan"), photo)).status_code == 303
    assert "Not one of our labels" in verdict(hanging.page())
    assert hanging.events()[-1].data["via"] == "photo"


@pytest.mark.parametrize("name", NO_PHOTOS)
def test_a_photo_that_is_none_is_refused_and_no_scan_is_kept(hanging: AtJob, name: str) -> None:
    photo, says = NO_PHOTOS[name]
    before = hanging.events()
    answer = hanging.client.post(hanging.url, **form_with(hanging.form("scan", text=""), photo))
    assert answer.status_code == 400
    page = Page(answer.text)
    assert says in page.alert
    assert page.one("article", class_="step")["data-step"] == BOARDS
    assert hanging.events() == before
