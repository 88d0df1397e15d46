"""A step is read aloud where the browser has a voice for the page's language, and falls silent when it is left."""

import pytest
from playwright.sync_api import Page, expect

from ..cast import NOOR
from .phone import Phone
from .shop import take_in

pytestmark = pytest.mark.browser

# A browser without a screen has no voices: these stand in for a phone's, and write down what they are asked to say.
VOICES = """
globalThis.said = [];
const voices = ["en-GB", "es-ES", "es-ES"].map((lang, at) => ({ lang, localService: at < 2, name: `voice ${at}` }));
Object.defineProperty(SpeechSynthesisUtterance.prototype, "voice", {
  set(voice) { this.chosen = voice; },
  get() { return this.chosen; },
});
Object.defineProperties(speechSynthesis, {
  getVoices: { value: () => voices },
  speaking: { get: () => said.some((one) => one.now) },
  speak: { value: (one) => { said.push({ text: one.text, voice: one.voice.name, now: true }); one.onstart(); } },
  cancel: { value: () => said.forEach((one) => { one.now = false; }) },
});
"""
NOW = "() => said.filter((one) => one.now).map(({ text, voice }) => [text, voice])"


def begin(page: Page, phone: Phone) -> None:
    phone.badge(NOOR)
    take_in(page, phone)


def test_what_to_do_is_said_then_the_cautions_then_why_and_all_is_silent_at_the_next_step(
    page: Page, phone: Phone
) -> None:
    page.add_init_script(VOICES)
    begin(page, phone)
    phone.work(until="/chock")
    page.get_by_role("button", name="Read aloud").click()
    texts, voices = zip(*page.evaluate(NOW), strict=True)
    assert texts[0].startswith("Engine off, park brake on")
    assert texts[1].startswith("WARNING The vehicle can roll and crush.")
    assert texts[-1].startswith("From here every measurement counts")
    assert set(voices) == {"voice 0"}
    expect(page.locator("[data-aloud]")).to_have_attribute("aria-pressed", "true")
    phone.paint(page.locator("[data-main] button.main").first.click)
    assert page.evaluate(NOW) == []

    page.goto(f"/jobs/{phone.job}/more")
    page.get_by_role("button", name="Español").click()
    page.get_by_role("button", name="Leer en voz alta").click()
    assert {voice for _text, voice in page.evaluate(NOW)} == {"voice 1"}  # on the phone before one from the network
    page.get_by_role("button", name="Leer en voz alta").click()
    assert page.evaluate(NOW) == []


def test_without_a_voice_for_the_language_there_is_no_button(page: Page, phone: Phone) -> None:
    page.add_init_script("Object.defineProperty(speechSynthesis, 'getVoices', { value: () => [] });")
    begin(page, phone)
    page.wait_for_load_state("networkidle")
    expect(page.locator("[data-aloud]")).to_be_hidden()
