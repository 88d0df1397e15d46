"""A technician does a two-calibration job on the phone, as a technician would, and then reads its own figures."""

from io import BytesIO
from pathlib import Path

import pytest
import qrcode
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from webapp.core.timing import job_times

from ..cast import ADA, ILYA
from .phone import Phone
from .shop import VIN, take_in

pytestmark = pytest.mark.browser


def hang_boards(page: Page, phone: Phone, tmp_path: Path) -> None:
    """Somebody else's code, a wrong target, one out of service, a swapped pair; then right, the last one by photo."""
    verdict = page.locator(".verdict h3").first
    for text, says in (
        ("https://example.org/p/1234", "Not one of our labels"),
        (phone.label("radar-plate"), "Wrong target"),
        (phone.label("camera-board-left", spare=True), "Out of service"),
    ):
        phone.settle(lambda text=text: phone.wedge(text))
        expect(verdict).to_contain_text(says)
    phone.settle(lambda: phone.wedge(phone.label("camera-board-left")))
    phone.settle(lambda: phone.wedge(phone.label("stand-right-arm")))
    expect(verdict).to_contain_text("Right target, wrong spot")
    swap = page.locator(".verdict p").first
    expect(swap).to_contain_text("Stand, left arm")
    expect(swap).to_contain_text("Stand, right arm")
    photo = tmp_path / "label.png"
    qrcode.make(phone.label("stand-left-arm")).save(photo)
    phone.settle(lambda: phone.wedge(phone.label("camera-board-left")))
    phone.settle(lambda: page.locator("[data-main] [type=file]").set_input_files(photo))
    expect(page.locator("tbody tr").first).to_contain_text("placed")


def jobs_on_overview(page: Page) -> int:
    """How many jobs with a forward camera the overview of the times has."""
    page.goto("/times")
    row = page.locator("tr", has=page.get_by_role("link", name="Forward camera, static target"))
    return int(row.locator("td b").first.inner_text()) if row.count() else 0


def test_a_technician_does_a_whole_job_and_reads_its_times(page: Page, phone: Phone, tmp_path: Path) -> None:
    before = jobs_on_overview(page)
    phone.badge(ILYA)
    take_in(page, phone)

    # An undo with its reason, from the step seen again; a pause with its reason.
    first = phone.at()
    phone.work(until="/load")
    page.goto(f"/jobs/{phone.job}/steps/{first}")
    page.get_by_label("Why is it undone?").fill("Looked at the wrong side.")
    phone.settle(lambda: page.get_by_role("button", name="Undo this step").click())
    assert phone.at() == first
    phone.work(until="/load")
    page.get_by_role("link", name="Pause").click()
    phone.settle(lambda: page.get_by_role("button", name="Waiting for parts").click())
    expect(page.get_by_role("heading", name="Paused")).to_be_visible()
    phone.main()

    phone.work(until="/hang-boards")
    hang_boards(page, phone, tmp_path)
    job = phone.job
    page.goto("/times/now")
    at_work = page.locator("article", has=page.locator(f"a[href='/jobs/{job}']"))
    expect(at_work).to_contain_text("Forward camera, static target")
    expect(at_work).to_contain_text("min of work left")
    page.goto(f"/jobs/{job}")
    phone.work()

    expect(page.get_by_role("heading", name="Everything is settled")).to_be_visible()
    phone.main()
    expect(page.get_by_text("This job is finished.")).to_be_visible()
    state = phone.state()
    sheet, _events = phone.journal()
    assert state.phase == "finished"
    assert state.steps[first or ""].undone == 1
    assert list(state.pauses_s) == ["parts", "finishing"]
    assert sum(one.wrong_scans for one in state.steps.values()) == 4
    assert any(one.countersigned_by == ADA.badge for one in state.steps.values())

    # The record says it all; the times page says how long it took, and the job is one tap behind its number.
    page.get_by_role("link", name="Open the record").click()
    record = page.locator("[data-record]")
    expect(record).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") == page.evaluate("innerWidth")
    for text in ("0RV WA4G2X K100 0417", "Right target, wrong spot", "Looked at the wrong side.", ADA.name):
        expect(record).to_contain_text(text)
    assert len(job_times(sheet, state).calibrations) == 2
    assert jobs_on_overview(page) == before + 1
    page.goto("/times/now")
    expect(page.locator(f"a[href='/jobs/{job}']")).to_have_count(0)
    page.goto("/times")
    page.get_by_role("link", name="Forward camera, static target").first.click()
    page.locator(".facts a", has=page.locator("b", has_text=str(before + 1))).last.click()
    page.locator(f"a[href='/jobs/{job}/record']").click()
    expect(record).to_contain_text("RO 20417")

    # The week's summary is one sheet of paper, as the browser prints it.
    page.goto("/times/week")
    expect(page.get_by_role("link", name="Forward camera, static target")).to_be_visible()
    assert len(PdfReader(BytesIO(page.pdf(format="A4", prefer_css_page_size=True))).pages) == 1


def test_a_clicker_does_the_main_action_and_a_double_tap_does_it_once(page: Page, phone: Phone) -> None:
    phone.badge(ILYA)
    take_in(page, phone)
    phone.work(until="/load")
    phone.settle(lambda: page.keyboard.press("Space"))
    done = phone.state()
    assert done.steps["vehicle-ready/load"].status == "done"
    before, name = done.count, phone.at()
    page.evaluate("const b = document.querySelector('[data-main] button.main'); b.click(); b.click();")
    page.locator(f"[data-step]:not([data-step='{name}'])").wait_for()
    page.reload()
    assert phone.state().count == before + 1


def test_the_checklist_works_without_any_script(chromium, server: str, kit, photo: str) -> None:  # type: ignore[no-untyped-def]
    context = chromium.new_context(base_url=server, java_script_enabled=False)
    page = context.new_page()
    phone = Phone(page, kit, photo, taps_first=True)
    phone.badge(ILYA)
    take_in(page, phone)
    name = phone.at()
    page.locator("[data-main] button").first.click()
    assert phone.at() != name
    context.close()


def test_the_drawing_points_out_the_tape_whose_reading_is_being_typed(page: Page, phone: Phone) -> None:
    phone.badge(ILYA)
    take_in(page, phone)
    phone.work(until="/square")
    tape = page.locator("[data-tape=right_left]")
    at_rest = tape.evaluate("tape => getComputedStyle(tape).stroke")
    page.locator("[name=right_left]").focus()
    pointed_out = tape.evaluate("tape => getComputedStyle(tape).stroke")
    other = page.locator("[data-tape=left_left]").evaluate("tape => getComputedStyle(tape).stroke")
    assert pointed_out != at_rest
    assert other == at_rest


def test_what_the_server_logged_of_it_tells_of_nobody(page: Page, phone: Phone, shop_folder: Path) -> None:
    """The job above, and what it met with that was wrong, worked on this very server."""
    phone.badge(ILYA)
    page.goto(f"/jobs/new?vin={VIN}")
    assert page.request.get(f"/nothing/{VIN}").status == 404
    refused = page.request.post("/phone/witness", form={"badge": ADA.label, "pin": "8642"})
    assert refused.status == 403
    said = (shop_folder / "server.log").read_text()
    for secret in (VIN, VIN.lower(), ADA.pin, "8642", "RO 20417", ILYA.name, ILYA.badge, "Looked at the wrong side"):
        assert secret not in said, secret
