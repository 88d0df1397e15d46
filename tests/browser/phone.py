"""A technician's phone: what a person does on the pages, in the words of the work."""

import json
from collections.abc import Mapping
from random import Random
from typing import Any

from playwright.sync_api import Page, expect

from webapp.core.events import Event
from webapp.core.fold import fold, step_of
from webapp.core.kit import codes_for, trouble
from webapp.core.labels import Label, label_text
from webapp.core.state import JobState
from webapp.storage.rehearsal.labels import next_label
from webapp.storage.rehearsal.readings import readings_inside

from ..cast import ADA, Someone
from .until import until

Step = dict[str, Any]

PAINTED = """() => {
  globalThis.painted = false;
  document.addEventListener("painted", () => { globalThis.painted = true; }, { once: true });
}"""


def begin(page: Page, someone: Someone) -> None:
    """Scan the badge as a keyboard-wedge scanner does, and type the PIN."""
    page.goto("/badge")
    page.locator("[data-wedge]").fill(someone.label)
    page.locator("[data-wedge]").press("Enter")
    give_pin(page, someone)
    page.wait_for_url("**/")


def give_pin(page: Page, someone: Someone) -> None:
    page.locator("#pin").fill(someone.pin)
    page.locator("#pin").press("Enter")


class Phone:
    """One page in a phone's browser, and the kit of the shop it is in."""

    def __init__(self, page: Page, kit: Mapping[str, Any], photo: str, *, taps_first: bool = False) -> None:
        self.page, self.kit, self.photo, self.taps_first = page, kit, photo, taps_first

    def wedge(self, text: str) -> None:
        """What a keyboard-wedge scanner does: characters, then Enter. With our script nothing is tapped first."""
        if self.taps_first:
            self.page.locator("[data-wedge]").first.click()
        self.page.keyboard.type(text)
        self.page.keyboard.press("Enter")

    def badge(self, someone: Someone) -> None:
        """Begin to work: scan the badge, type the PIN."""
        begin(self.page, someone)

    @property
    def job(self) -> str:
        return self.page.locator("[data-job]").get_attribute("data-job") or ""

    def journal(self) -> tuple[dict[str, Any], list[Event]]:
        """The sheet and the events as the server has them."""
        lines = self.page.request.get(f"/jobs/{self.job}/journal.jsonl").text().splitlines()
        return json.loads(lines[0])["sheet"], [Event.from_dict(json.loads(line)) for line in lines[1:]]

    def state(self) -> JobState:
        sheet, events = self.journal()
        return fold(sheet, events)

    def at(self) -> str | None:
        """The id of the step on the page, or None where it shows no step."""
        shown = self.page.locator("[data-step]")
        return shown.get_attribute("data-step") if shown.count() else None

    def settle(self, action: Any) -> None:
        """Do something that swaps the job's content, and wait until the new content is there."""
        self.page.evaluate("document.getElementById('job').dataset.old = '1'")
        action()
        self.page.locator("#job:not([data-old])").wait_for()

    def paint(self, action: Any) -> None:
        """Do something that swaps the job's content, and wait until what waits for it to be painted is done too."""
        self.page.evaluate(PAINTED)
        action()
        until(self.page, "() => painted")

    def main(self) -> None:
        self.settle(lambda: self.page.locator("[data-main] button.main").first.click())

    def label(self, is_: str, *, spare: bool = False) -> str:
        """The label of a thing of that kind: one that may be used, or the spare that may not."""
        today = None
        found = [code for code in codes_for(is_, self.kit) if bool(trouble(code, self.kit, today)) == spare]
        return label_text(Label(self.kit[found[0]]["kind"], found[0]))

    def work(self, until: str | None = None) -> None:
        """Do step after step as the page asks, until the step whose id ends so is at hand, or nothing is."""
        sheet, _events = self.journal()
        while (name := self.at()) is not None and not (until and name.endswith(until)):
            step = step_of(sheet, name)
            assert step is not None, name
            self.do(step)

    def do(self, step: Step) -> None:
        """What the step asks for, once."""
        if self.page.locator(".hold").count():
            self.countersign()
            return
        getattr(self, f"do_{step['kind']}")(step)

    def do_confirm(self, _step: Step) -> None:
        self.main()

    def do_choose(self, step: Step) -> None:
        free = next(one for one in step["options"] if not one["blocks"])
        self.settle(lambda: self.page.get_by_role("button", name=free["label"], exact=True).click())

    def do_scan(self, step: Step) -> None:
        was = self.state().step(step["id"])
        self.settle(lambda: self.wedge(next_label(step["pairs"], was, self.kit, "", None, wrong=False)))

    def do_measure(self, step: Step) -> None:
        for name, value in readings_inside(step["measure"], Random(1)).items():
            self.page.locator(f"[name={name}]").fill(value)
        self.main()

    def do_photo(self, _step: Step) -> None:
        self.settle(lambda: self.page.locator("[data-main] [type=file]").set_input_files(self.photo))

    def do_wait(self, _step: Step) -> None:
        """Start the countdown; its button comes alive by itself when the time is over."""
        self.main()
        self.after_wait()

    def after_wait(self) -> None:
        expect(self.page.locator("[data-left-s]")).to_be_visible()
        expect(self.page.locator("[data-main] button.main")).to_be_enabled(timeout=30_000)
        self.main()

    def do_countersign(self, _step: Step) -> None:
        self.countersign()

    def countersign(self) -> None:
        self.page.locator("[name=badge]").fill(ADA.label)
        self.page.locator("[name=pin]").fill(ADA.pin)
        self.main()

    def do_result(self, _step: Step) -> None:
        self.main()
