"""A technician's hand that costs the page nothing: what is measured is the page, not what the driver asks of it."""

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Locator

from ..browser.alone import Alone

# How long a finger is down, as people press.
PRESS_MS = 80
PAINTED = "count => new Promise((done) => window.whenPainted(count, done))"


class Tapper(Alone):
    """It touches a point of the page, since a locator's own click runs a script of the driver's in the page first.

    It waits for the paint that the page tells of, since a locator that waits measures the page in each frame.
    """

    def settle(self, action: Callable[[], Any]) -> None:
        count = self.page.evaluate("window.taps.length")
        action()
        self.page.evaluate(PAINTED, count + 1)

    def press(self, button: Locator) -> None:
        button.scroll_into_view_if_needed()
        box = button.bounding_box()
        assert box is not None
        at = {"x": box["x"] + box["width"] / 2, "y": box["y"] + box["height"] / 2}
        finger = self.page.context.new_cdp_session(self.page)
        finger.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [at]})
        self.page.wait_for_timeout(PRESS_MS)
        finger.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
        finger.detach()

    def main(self) -> None:
        button = self.page.locator("[data-main] button.main").first
        self.settle(lambda: self.press(button))

    def do_choose(self, step: dict[str, Any]) -> None:
        free = next(one for one in step["options"] if not one["blocks"])
        button = self.page.get_by_role("button", name=free["label"], exact=True)
        self.settle(lambda: self.press(button))
