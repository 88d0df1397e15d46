"""A technician at a paired phone that may die, or whose worker may, at any tap; and what the page promised them."""

import time
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass
from typing import Any

from playwright.sync_api import Error, Page

from webapp.core.events import Event
from webapp.core.fold import step_of
from webapp.core.state import StepState
from webapp.storage.rehearsal.labels import next_label

from ..alone import READ, Alone
from ..kept import KeptBrowser

PATIENCE_S = 60.0
COMES_HOME_WITHIN_S = 150.0  # a run may end in a request that had to be given up; the page's minute begins the next

# The form at hand as it will be sent, and a mark by which the answer's page is told from this one.
MARK = """() => {
  const job = document.getElementById("job");
  const form = job.querySelector("form[data-main]");
  const said = Object.fromEntries(new FormData(form));
  form.addEventListener("htmx:error", () => { job.dataset.unanswered = "1"; });
  job.dataset.old = "1";
  window.isTapped = true;
  return { do: said.do, step: said.step ?? null, attempt: Number(said.attempt ?? 1), turn: Number(said.turn ?? 0) };
}"""
# Null as long as there is no answer. Another document than the tapped one is an answer only where the tap led on to it:
# it may also be that of a reload that was given up before, and comes only now.
ANSWER = """() => {
  const job = document.getElementById("job");
  const ledOn = performance.getEntriesByType("navigation")[0]?.redirectCount;
  if (!job || (!window.isTapped && !ledOn)) return { unanswered: true };
  if (job.dataset.old) return job.dataset.unanswered ? { unanswered: true } : null;
  return { refused: job.querySelector(".refused, .notice")?.textContent ?? null };
}"""
# The events that such a tap has left on the phone's disk.
LEFT = """({ job, step, attempt, turn, do: what }) => new Promise((done, failed) => {
  const opening = indexedDB.open("baybook");
  opening.onerror = () => failed(opening.error);
  opening.onsuccess = () => {
    const reading = opening.result.transaction("events").objectStore("events").getAll();
    reading.onsuccess = () => {
      opening.result.close();
      const ofStep = ({ kind }) => !["started", "paused", "resumed"].includes(kind);
      const ofPage = (one) => one.step === step && one.attempt === attempt && one.turn === turn;
      const isOfTap = (one) => (what === "resume" ? one.kind === "resumed" : ofStep(one) && ofPage(one));
      done(reading.result.filter((one) => one.job === job && isOfTap(one)).map((one) => one.id));
    };
  };
})"""
# Where the phone's data is, read past the app's own code.
STANDING = """() => new Promise((done, failed) => {
  const opening = indexedDB.open("baybook");
  opening.onerror = () => failed(opening.error);
  opening.onsuccess = () => {
    const stores = ["events", "photos", "jobs", "sync"];
    const reading = opening.result.transaction(stores);
    const asked = stores.map((store) => reading.objectStore(store).getAll());
    reading.oncomplete = () => {
      opening.result.close();
      const [events, photos, jobs, sync] = asked.map((one) => one.result);
      done({
        unsent: events.filter((one) => one.unsent).length,
        photos: photos.filter((one) => one.unsent).length,
        apart: jobs.filter(({ job, agreed }) => agreed !== events.filter((one) => one.job === job).length).length,
        held: jobs.map(({ job }) => job),
        last: sync.find(({ name }) => name === "last") ?? null,
      });
    };
  };
})"""
# Look now and then until everything came home in one run that began since then; whether it did, before patience ended.
HOME = f"""async ({{ wanted, since, patience_s }}) => {{
  const until = performance.now() + patience_s * 1000;
  while (performance.now() < until) {{
    const {{ unsent, photos, apart, held, last }} = await ({STANDING})();
    const ran = last && last.why === null && last.tried_at >= since;
    if (ran && unsent + photos + apart === 0 && wanted.every((job) => held.includes(job))) return true;
    await new Promise((go) => setTimeout(go, 50));
  }}
  return false;
}}"""

# What a form of a step leaves behind.
KIND_OF = {
    "confirm": "confirmed",
    "choose": "chosen",
    "scan": "scanned",
    "measure": "measured",
    "photo": "photographed",
    "start-wait": "wait-started",
    "wait": "waited",
    "result": "resulted",
    "countersign": "countersigned",
}


class Unanswered(Exception):
    """The tap came to nothing that could be seen: the technician does not know whether it was kept."""


@dataclass(frozen=True)
class Tap:
    """What a page asked for. Where its answer's page was shown, the phone has promised that it is kept."""

    job: str
    step: str | None
    attempt: int
    turn: int
    do: str


class Hands(Alone):
    """`promised`: the events that lay on the phone's disk when a tap's answer was shown, each with its tap.

    `on_look` is told of every look at an unanswered page.
    """

    def __init__(self, browser: KeptBrowser, kit: Mapping[str, Any], photo: str, sheets: Mapping[str, Any]) -> None:
        self.browser, self.kit, self.photo, self.sheets = browser, kit, photo, sheets
        self.taps_first = False
        self.promised: dict[str, Tap] = {}
        self.refusals: list[str] = []
        self.ended: set[str] = set()
        self.on_look: Callable[[int], None] = lambda _count: None

    @property
    def page(self) -> Page:  # type: ignore[override]
        return self.browser.page

    def journal(self) -> tuple[dict[str, Any], list[Event]]:
        job = self.job
        known = [
            Event.from_dict({name: value for name, value in one.items() if name in Event.__slots__})
            for one in self.read("events")
        ]
        return self.sheets[job], known

    def settle(self, action: Callable[[], None], label: str | None = None) -> None:
        """Tap, and look at the page until it answers. Raises Unanswered, or Error where the browser is gone.

        `label`: what the tap scans.
        """
        tap = Tap(self.job, **_by_name(self.page.evaluate(MARK)))
        action()
        looks, until = 0, time.monotonic() + PATIENCE_S
        while (answer := self.page.evaluate(ANSWER)) is None:
            looks += 1
            self.on_look(looks)
            if time.monotonic() > until:
                raise AssertionError(f"{tap} was answered neither by a page nor by an error for {PATIENCE_S} s")
        if answer.get("unanswered"):
            raise Unanswered
        if answer["refused"]:
            self.refusals.append(answer["refused"])
        else:
            left = self.page.evaluate(LEFT, asdict(tap)) or self._done_by_another(tap, label)
            assert left, f"{tap} was answered, and nothing of it is on the phone"
            self.promised |= dict.fromkeys(left, tap)

    def _done_by_another(self, tap: Tap, label: str | None) -> list[str]:
        """The other phone's events that say the same of this step; of its scans those of that very label.

        Where two phones did something unheard of each other, their turns count apart; then such an event, heard of
        after the page was drawn, is taken for this tap, and the page goes on from it. None where the step stands as
        that page showed it: then nothing came that could be taken for the tap.
        """
        now = self.state().step(tap.step or "")
        if (now.attempt, now.turn) <= (tap.attempt, tap.turn):
            return []
        (me,) = self.page.evaluate(READ, ["device", None])
        there = [one for one in self.journal()[1] if one.device != me["id"] and one.kind == KIND_OF.get(tap.do)]
        there = [one for one in there if (one.step, one.attempt) == (tap.step, tap.attempt)]
        return [one.id for one in there if label is None or one.data["text"] == label]

    def open(self, job: str) -> None:
        self.page.goto(f"/jobs/{job}")
        self.page.locator("#job").wait_for()

    def go_on(self, job: str) -> bool:
        """The next tap on that job, whatever it is; False where the job has ended."""
        if not self.page.locator(f"[data-job='{job}']").count():
            self.open(job)
        if self.page.locator("[data-ended]").count():
            self.ended.add(job)
            return False
        if self.page.locator("[data-waits]").count():
            self.open(job)  # until the shop has checked a countersign, the job cannot end
            return True
        name = self.at()
        if name is None:
            self.finish() if self.page.locator("[data-finish] [name=pin]").count() else self.main()
        else:
            self.do(step_of(self.sheets[job], name) or {})
        return True

    def do_scan(self, step: Mapping[str, Any]) -> None:
        """The label wanted next; where the other phone has brought the last one, any that the page asked for."""
        state = self.state()
        was = state.step(step["id"])
        if state.current != step["id"] or was.status == "held":
            was = StepState()
        label = next_label(step["pairs"], was, self.kit, "", None, wrong=False)
        self.settle(lambda: self.wedge(label), label)

    def do_wait(self, _step: Mapping[str, Any]) -> None:
        """As ever; but the other phone may have waited already, and then the answer leads on."""
        self.main()
        if self.page.locator("[data-left-s]").count():
            self.after_wait()

    def finish(self) -> None:
        self.countersign()

    def take_a_break(self, jobs: Iterable[str]) -> None:
        """Pause all of them, and leave their pages."""
        for job in jobs:
            self.page.goto(f"/jobs/{job}/pause")
            if not self.page.locator("[data-ended]").count():
                self.page.get_by_role("button", name="Break").click()
                self.page.locator("[data-rest]").wait_for()
        self.page.goto("/phone/kept")

    def job_at_hand(self, jobs: list[str], other: str) -> str:
        """Mostly the job whose page is open."""
        shown = self.page.locator("[data-job]")
        now = self.job if shown.count() else ""
        return now if now in jobs and jobs.index(other) % 2 else other

    def revive(self) -> None:
        if self.browser.is_killed:
            self.browser.start()

    def try_to(self, what: Callable[[], object]) -> None:
        """Do it; after a tap that was not answered, or with a browser that was killed, look at the page anew."""
        try:
            self.revive()
            what()
        except Unanswered:
            with suppress(Error):
                self.page.reload()
        except Error:
            if not self.browser.is_killed:
                raise

    def bring_home(self, job: str) -> None:
        """Open a page of the app; then all must come home by itself, and both sides must find that they agree."""
        since = self.page.evaluate("new Date().toISOString()")
        self.open(job)
        is_home = self.page.evaluate(
            HOME, {"wanted": list(self.sheets), "since": since, "patience_s": COMES_HOME_WITHIN_S}
        )
        assert is_home, f"not home: {self.page.evaluate(STANDING)}"


def _by_name(said: dict[str, Any]) -> dict[str, Any]:
    return {name: said[name] for name in ("step", "attempt", "turn", "do")}
