"""A tap is handed to the phone's own server in a message; where that comes to nothing it is fetched, and done once."""

import pytest
from playwright.sync_api import Request, expect

from .alone import READ, Alone
from .kept import KeptBrowser
from .until import until

pytestmark = pytest.mark.browser
expect.set_options(timeout=30_000)

# A worker of an older version does not know such a message; one that is stopped does not get to answer it.
LOSES = {
    "message": "ServiceWorker.prototype.postMessage = () => undefined;",
    "answer": """{
      const { postMessage } = ServiceWorker.prototype;
      ServiceWorker.prototype.postMessage = function (said, ports) {
        return postMessage.call(this, said, ports ? [new MessageChannel().port2] : []);
      };
    }""",
}
# The page waits for the answer until it is told to wait no longer.
PATIENT = """{
  const { setTimeout } = window;
  window.setTimeout = (act, ms, ...given) => {
    if (ms !== 1_500) return setTimeout(act, ms, ...given);
    window.loseIt = () => act(...given);
  };
}"""


def note(phone: Alone, text: str) -> None:
    """Nothing guards a note against coming twice, as attempt and turn guard a step."""
    phone.page.goto(f"/jobs/{phone.job}/more")
    phone.page.locator("[name=text]").fill(text)
    phone.settle(lambda: phone.page.get_by_role("button", name="Keep the note").click())


def notes(phone: Alone) -> list[str]:
    return [one.data["text"] for one in phone.journal()[1] if one.kind == "noted"]


@pytest.fixture
def fetched(browser: KeptBrowser) -> list[Request]:
    """The taps that the page of a phone without network fetches from now on."""
    browser.context.set_offline(True)
    found: list[Request] = []
    browser.page.on("request", lambda one: found.append(one) if one.method == "POST" else None)
    return found


def test_a_tap_is_answered_without_a_fetch(alone: Alone, fetched: list[Request]) -> None:
    note(alone, "Alone")
    assert notes(alone) == ["Alone"]
    assert fetched == []


@pytest.mark.parametrize("lost", LOSES)
def test_a_tap_whose_message_or_answer_is_lost_is_fetched_and_done_once(
    browser: KeptBrowser, alone: Alone, fetched: list[Request], lost: str
) -> None:
    browser.page.add_init_script(LOSES[lost])
    note(alone, "Once")
    assert notes(alone) == ["Once"]
    assert len(fetched) == 1


def test_a_tap_that_a_worker_kept_and_could_not_answer_any_more_is_done_once(
    browser: KeptBrowser, alone: Alone, fetched: list[Request]
) -> None:
    """The worker ends between the disk and the answer; the one that is started for the fetch remembers nothing."""
    browser.page.add_init_script(LOSES["answer"] + PATIENT)
    browser.page.goto(f"/jobs/{alone.job}/more")
    browser.page.locator("[name=text]").fill("Once")
    browser.page.get_by_role("button", name="Keep the note").click()
    until(browser.page, f"async () => (await ({READ})(['events', null])).some(({{ kind }}) => kind === 'noted')")
    browser.stop_workers()
    browser.page.evaluate("window.loseIt()")
    expect(browser.page.locator("[data-step]")).to_be_visible()
    assert len(fetched) == 1
    assert notes(alone) == ["Once"]


def test_a_tap_that_is_refused_says_why_on_its_page(alone: Alone, fetched: list[Request]) -> None:
    note(alone, " ")
    assert fetched == []
    expect(alone.page.locator(".refused")).to_contain_text("text is empty")
    assert notes(alone) == []
