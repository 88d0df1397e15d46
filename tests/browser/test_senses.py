"""While the hands work: the screen stays awake, and a good scan sounds and shakes otherwise than a bad one."""

import pytest
from playwright.sync_api import Page, Route, expect

from ..cast import NOOR
from .phone import Phone
from .shop import take_in
from .until import until

pytestmark = pytest.mark.browser

# What the browser is asked for, seen from outside: its own wake lock and sound do the work.
WATCHED = """
globalThis.locks = [];
globalThis.tones = [];
globalThis.shakes = [];
const request = navigator.wakeLock.request.bind(navigator.wakeLock);
navigator.wakeLock.request = async (kind) => {
  const lock = await request(kind);
  locks.push(lock);
  return lock;
};
const start = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function (at_s) {
  tones.push(this.frequency.value);
  return start.call(this, at_s);
};
navigator.vibrate = (pattern) => shakes.push(pattern);
"""
HELD = "() => locks.filter((one) => !one.released).length"


@pytest.fixture
def phone(page: Page, phone: Phone) -> Phone:
    """At the first step of a job, with what the browser is asked for written down."""
    page.add_init_script(WATCHED)
    phone.badge(NOOR)
    take_in(page, phone)
    page.reload()
    return phone


def test_the_screen_stays_awake_until_the_job_is_paused_and_again_after_it(page: Page, phone: Phone) -> None:
    until(page, f"() => ({HELD})() === 1")
    page.goto(f"/jobs/{phone.job}/pause")
    until(page, f"() => ({HELD})() === 1")
    phone.settle(lambda: page.get_by_role("button", name="Waiting for parts").click())
    until(page, f"() => ({HELD})() === 0")
    phone.main()
    until(page, f"() => ({HELD})() === 1")


def test_a_lock_that_the_phone_took_away_is_asked_for_again_on_the_way_back(page: Page, phone: Phone) -> None:
    until(page, f"() => ({HELD})() === 1")
    page.evaluate("locks[0].release()")  # as when another app comes to the front
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    until(page, f"() => locks.length === 2 && ({HELD})() === 1")


def test_good_and_bad_scans_differ_in_pattern_and_can_be_silenced_on_this_phone(page: Page, phone: Phone) -> None:
    phone.work(until="/hang-boards")
    page.evaluate("tones.length = shakes.length = 0")
    phone.settle(lambda: phone.wedge(phone.label("radar-plate")))
    expect(page.locator("[data-signalled=bad]")).to_be_attached()
    bad = page.evaluate("[tones.splice(0), shakes.splice(0)]")
    phone.settle(lambda: phone.wedge(phone.label("camera-board-left")))
    expect(page.locator("[data-signalled=good]")).to_be_attached()
    good = page.evaluate("[tones.splice(0), shakes.splice(0)]")
    assert (len(bad[0]), len(good[0])) == (2, 1)
    assert min(good[0]) > max(bad[0])
    assert bad[1] != good[1]

    page.goto(f"/jobs/{phone.job}/more")
    page.get_by_label("Sound and vibration on this phone").uncheck()
    page.goto(f"/jobs/{phone.job}")
    until(page, f"() => ({HELD})() === 1")  # the senses are there: no silence for want of them
    phone.paint(lambda: phone.wedge(phone.label("radar-plate")))
    assert page.evaluate("[tones, shakes]") == [[], []]
    page.goto(f"/jobs/{phone.job}/more")
    expect(page.get_by_label("Sound and vibration on this phone")).not_to_be_checked()


def test_a_tap_that_is_long_on_its_way_looks_taken_until_it_is_answered(page: Page, phone: Phone) -> None:
    held: list[Route] = []
    page.route(f"**/jobs/{phone.job}", lambda route: held.append(route))
    page.locator("[data-main] button.main").first.click()
    button = page.locator("form[data-sent] button.main").first
    expect(button).to_have_css("opacity", "0.6")
    held[0].continue_()
    expect(page.locator("[data-sent]")).to_have_count(0)
    expect(page.locator("[data-main] button.main").first).to_have_css("opacity", "1")
