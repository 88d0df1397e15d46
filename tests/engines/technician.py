"""A technician at a phone of another engine: the same work as tests/browser/phone.py, by the words of WebDriver."""

import json
from collections.abc import Callable, Mapping
from random import Random
from typing import Any

from selenium.common.exceptions import TimeoutException
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webdriver import WebDriver
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.wait import WebDriverWait

from webapp.core.events import Event
from webapp.core.fold import fold, step_of
from webapp.core.state import JobState
from webapp.storage.rehearsal.labels import next_label
from webapp.storage.rehearsal.readings import readings_inside

from ..browser.alone import READ
from ..browser.kept import CONTROLLED
from ..browser.shop import VIN
from ..cast import ADA, NOOR, Someone
from .engines import LIMIT_S

Step = dict[str, Any]

ASYNC = """const done = arguments[arguments.length - 1];
({})(arguments[0]).then((out) => done({{out}}), (error) => done({{error: String(error)}}));"""


class Technician:
    """One phone, by its driver; `address` is where it finds the shop."""

    def __init__(self, driver: WebDriver, address: str, kit: Mapping[str, Any], photo: str) -> None:
        self.driver, self.address, self.kit, self.photo = driver, address, kit, photo

    # What hands and eyes do.

    def goto(self, path: str) -> None:
        """Not the driver's own refresh: that goes past a page's worker."""
        self.driver.get(self.address + path)

    def until(self, condition: Callable[[], Any]) -> Any:
        """What the condition gives, once it gives something; else what is on the page instead."""
        try:
            return WebDriverWait(self.driver, LIMIT_S, 0.05).until(lambda _driver: condition())
        except TimeoutException as late:
            shown = self.driver.find_element(By.TAG_NAME, "body").text
            raise AssertionError(f"{self.driver.current_url} shows:\n{shown}") from late

    def find(self, selector: str) -> WebElement:
        found: WebElement = self.until(lambda: next(iter(self.all(selector)), None))
        return found

    def all(self, selector: str) -> list[WebElement]:
        return self.driver.find_elements(By.CSS_SELECTOR, selector)

    def fill(self, selector: str, text: str) -> None:
        field = self.find(selector)
        field.clear()
        field.send_keys(text)

    def press(self, selector: str) -> None:
        """A tap. By script, since a foot that stays in sight may lie over what is scrolled to."""
        self.driver.execute_script("arguments[0].click()", self.find(selector))

    def run(self, function: str, given: Any = None) -> Any:
        """The answer of an async JavaScript function."""
        told = self.driver.execute_async_script(ASYNC.format(function), given)
        assert "error" not in told, told["error"]
        return told.get("out")

    def settle(self, action: Callable[[], Any]) -> None:
        """Do something that swaps the job's content, and wait until the new content is there."""
        self.driver.execute_script("document.getElementById('job').dataset.old = '1'")
        action()
        self.find("#job:not([data-old])")

    # The way into a job.

    def badge(self, someone: Someone) -> None:
        self.goto("/badge")
        self.fill("#badge", someone.label + Keys.ENTER)
        self.fill("#pin", someone.pin + Keys.ENTER)
        self.at_path("/")

    def at_path(self, path: str) -> None:
        self.until(lambda: self.driver.current_url.removeprefix(self.address).partition("?")[0] == path)

    def pair(self) -> None:
        """Pair the phone with a code that a supervisor makes on it, and wait until its own server answers."""
        self.badge(ADA)
        self.goto("/phone/pair")
        self.press("form[action='/phone/codes'] button")
        self.fill("[name=code]", self.find("[data-code]").text)
        self.fill("[name=name]", "Phone of bay 1")
        self.press("form[data-pair] button")
        self.at_path("/")
        self.run(CONTROLLED)
        self.badge(NOOR)

    def take_in(self) -> None:
        """From the VIN to the first step of a job with two calibrations."""
        self.goto("/jobs/new")
        self.fill("#vin", VIN + Keys.ENTER)
        self.find("#repair_order")
        for choices in self.all("fieldset .choices"):
            for one in choices.find_elements(By.CSS_SELECTOR, "[type=radio]")[:1]:
                self.driver.execute_script("arguments[0].click()", one)
        self.fill("#repair_order", "RO 20417")
        self.fill("#odometer_km", "48 210")
        for reason in ("windscreen-replaced", "radar-replaced"):
            self.press(f"[name=reasons][value={reason}]")
        self.press("button[name=go][value=plan]")
        self.find("form[action$='/start'] button")
        self.press("form[action$='/start'] button")
        self.find("[data-step]")
        self.goto(f"/jobs/{self.job}")
        self.find("[data-ready][data-truth=agree]")

    # What the phone knows, read off its own disk.

    @property
    def job(self) -> str:
        return self.find("[data-job]").get_attribute("data-job") or ""

    def at(self) -> str | None:
        shown = self.all("[data-step]")
        return shown[0].get_attribute("data-step") if shown else None

    def journal(self) -> tuple[dict[str, Any], list[Event]]:
        job = self.job
        (held,) = self.run(READ, ["jobs", job])
        sheets = {one["hash"]: one["sheet"] for one in self.run(READ, ["sheets", None])}
        # By the lines as they were written: a driver may carry numbers over with fewer digits.
        known = [Event.from_dict(json.loads(one["line"])) for one in self.run(READ, ["events", job])]
        return sheets[held["sheet_hash"]], known

    def state(self) -> JobState:
        return fold(*self.journal())

    # The steps.

    def work(self, until: str | None = None) -> None:
        """Do step after step as the page asks, until the step whose id ends so is at hand, or nothing is."""
        sheet, _events = self.journal()
        while (name := self.at()) is not None and not (until and name.endswith(until)):
            step = step_of(sheet, name)
            assert step is not None, name
            if self.all(".hold"):
                self.do_countersign(step)
            else:
                getattr(self, f"do_{step['kind']}")(step)

    def main(self) -> None:
        self.settle(lambda: self.press("[data-main] button.main:not(.live)"))

    def do_confirm(self, _step: Step) -> None:
        self.main()

    do_result = do_confirm

    def do_choose(self, step: Step) -> None:
        free = next(one for one in step["options"] if not one["blocks"])
        self.settle(lambda: self.press(f"[name=option][value={free['value']}]"))

    def do_scan(self, step: Step) -> None:
        text = next_label(step["pairs"], self.state().step(step["id"]), self.kit, "", None, wrong=False)
        self.settle(lambda: self.fill("#text", text + Keys.ENTER))

    def do_measure(self, step: Step) -> None:
        for name, value in readings_inside(step["measure"], Random(1)).items():
            self.fill(f"[name={name}]", value)
        self.main()

    def do_photo(self, _step: Step) -> None:
        self.settle(lambda: self.find("[data-main] [type=file]").send_keys(self.photo))

    def do_wait(self, _step: Step) -> None:
        self.main()
        self.find("[data-main] button.main:not(:disabled)")
        self.until(lambda: not self.all("[data-when-over]:disabled"))
        self.main()

    def do_countersign(self, _step: Step) -> None:
        self.fill("[name=badge]", ADA.label)
        self.fill("[name=pin]", ADA.pin)
        self.main()
