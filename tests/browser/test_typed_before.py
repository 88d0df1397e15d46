"""What is typed on the way to a job: kept field by field, in the order in which it was typed."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, Request, expect

from ..cast import NOOR
from .phone import Phone
from .shop import VIN
from .wire import Wire

pytestmark = pytest.mark.browser


class Desk:
    """The intake page of a new job, and what it sends; the way to the shop can be held up."""

    def __init__(self, page: Page, phone: Phone, network: Wire) -> None:
        self.page, self.network = page, network
        phone.badge(NOOR)
        page.goto("/jobs/new")
        phone.wedge(VIN)
        page.wait_for_url("**/intake**")
        self.order: list[str] = []
        page.on("request", lambda request: self._note("sent", request))
        page.on("requestfinished", lambda request: self._note("answered", request))

    def _note(self, about: str, request: Request) -> None:
        if said := what(request):
            self.order.append(f"{said} {about}")

    def change(self, action: Callable[[], None]) -> None:
        """Do something that is kept, and wait until that is on its way."""
        with self.page.expect_request(lambda request: what(request) == "keep"):
            action()

    def answered(self, action: Callable[[], None]) -> None:
        """Do something, and wait until what is kept was answered."""
        with self.page.expect_event("requestfinished", lambda request: what(request) == "keep"):
            action()

    def choose(self) -> None:
        for choices in self.page.locator("fieldset .choices").all():
            if choices.locator("[type=radio]").count():
                choices.locator("[type=radio]").first.check()


def what(request: Request) -> str:
    """`keep` or the button's own name, of a form that the intake page sends."""
    if request.method != "POST" or not request.url.endswith("/intake"):
        return ""
    lines = (request.post_data_buffer or b"").decode().splitlines()
    if request.headers["content-type"].startswith("multipart"):
        return lines[lines.index('Content-Disposition: form-data; name="go"') + 2]
    return lines[0].rpartition("go=")[2]


@pytest.fixture
def address(network: Wire) -> str:
    return network.address


@pytest.fixture
def desk(page: Page, phone: Phone, network: Wire) -> Desk:
    return Desk(page, phone, network)


def test_the_button_waits_until_what_was_typed_before_is_kept(desk: Desk) -> None:
    page = desk.page
    desk.network.hold()
    desk.change(lambda: page.get_by_label("Windscreen replaced").check())
    page.get_by_label("Repair order").fill("RO 20418")
    page.get_by_label("Odometer, km").fill("48 210")
    desk.choose()
    page.get_by_role("button", name="Plan the calibrations").click()
    page.get_by_role("button", name="Plan the calibrations").click()  # nothing has happened yet, so once more
    assert desk.order == ["keep sent"]
    expect(page.locator("form[data-sent]")).to_be_visible()  # the tap looks taken
    desk.network.heal()
    expect(page.get_by_role("heading", name="Forward camera, static target")).to_be_visible()
    assert desk.order[:3] == ["keep sent", "keep answered", "plan sent"]
    assert desk.order.count("plan sent") == 1


def test_what_was_changed_meanwhile_follows_and_a_reload_has_it(desk: Desk) -> None:
    page = desk.page
    desk.network.hold()
    desk.change(lambda: page.get_by_label("Windscreen replaced").check())
    page.get_by_label("Radar removed or replaced").check()
    page.get_by_label("Camera removed or replaced").check()
    assert desk.order == ["keep sent"]
    desk.answered(lambda: desk.change(desk.network.heal))
    if desk.order.count("keep answered") < 2:
        desk.answered(lambda: None)
    assert desk.order == ["keep sent", "keep answered", "keep sent", "keep answered"]
    page.reload()
    for reason in ("Windscreen replaced", "Radar removed or replaced", "Camera removed or replaced"):
        expect(page.get_by_label(reason)).to_be_checked()
