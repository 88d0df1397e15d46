"""A phone that works alone: what it knows is read from its own disk, never from the server."""

import re
from typing import Any

from webapp.config import Settings
from webapp.core.events import Event
from webapp.core.kinds.common import Person
from webapp.core.state import Clock
from webapp.core.view import job_page, more_page, pause_page, steps_page, trouble_page
from webapp.core.view.lock import lock_view
from webapp.core.view.short import for_reader
from webapp.library.load import load
from webapp.library.tongues import read_in
from webapp.messages import say, tongue
from webapp.paths import PROCEDURES
from webapp.web import mustache

from .phone import Phone

# Whatever the phone's database holds of a job, read past the app's own code.
READ = """([store, job]) => new Promise((done, failed) => {
  const opening = indexedDB.open("baybook");
  opening.onerror = () => failed(opening.error);
  opening.onsuccess = () => {
    const reading = opening.result.transaction(store).objectStore(store).getAll();
    reading.onsuccess = () => {
      opening.result.close();
      done(reading.result.filter((one) => !job || one.job === job));
    };
  };
})"""
PANELS = {"steps": steps_page, "pause": pause_page, "trouble": trouble_page, "more": more_page}
RUNNING = re.compile(r'data-elapsed-s="\d+">[\d:]+<')
TOKEN = re.compile(r'name="token" value="([^"]*)"')


class Alone(Phone):
    """A paired phone with the job's packet."""

    def __init__(self, *given: Any, **more: Any) -> None:
        super().__init__(*given, **more)
        self.sheets: dict[str, dict[str, Any]] = {}

    def read(self, store: str) -> list[Any]:
        """All records that the phone's disk holds of this job in that store."""
        found: list[Any] = self.page.evaluate(READ, [store, self.job])
        return found

    def journal(self) -> tuple[dict[str, Any], list[Event]]:
        """The sheet and the events as the phone has them."""
        (job,) = self.read("jobs")
        if job["sheet_hash"] not in self.sheets:  # a sheet is large, and never another one under its hash
            self.sheets |= {one["hash"]: one["sheet"] for one in self.page.evaluate(READ, ["sheets", None])}
        known = [
            Event.from_dict({name: value for name, value in one.items() if name in Event.__slots__})
            for one in self.read("events")
        ]
        return self.sheets[job["sheet_hash"]], known

    def who(self) -> dict[str, Any]:
        """Who works with this phone, as its disk has it."""
        return next((one for one in self.page.evaluate(READ, ["shelf", None]) if one["name"] == "who"), {})

    def reader(self) -> Person | None:
        person = self.who().get("person")
        return Person(person["code"], person["role"], person["name"], tuple(person["short"])) if person else None

    def token(self) -> str:
        """What the forms of this phone carry, as the shop has told it."""
        (found,) = [one["value"] for one in self.page.evaluate(READ, ["shelf", None]) if one["name"] == "token"]
        return str(found)

    def html(self, path: str = "") -> str:
        """A page as the phone answers it."""
        text: str = self.page.evaluate("path => fetch(path).then((answer) => answer.text())", f"/jobs/{self.job}{path}")
        assert all(len(token) == 22 for token in TOKEN.findall(text))
        return RUNNING.sub("", text)

    def html_of_server(self, panel: str = "") -> str:
        """The same page as the server would give it, were the phone's journal its own."""
        sheet, _events = self.journal()
        state = self.state()
        assert state.clock is not None
        now = Clock(state.clock.at, state.clock.mono_s, state.clock.boot)
        worded = read_in(tongue(), sheet, load(PROCEDURES))
        page = for_reader(PANELS.get(panel, job_page)(worded, state, now, say), worded, self.reader())
        unsent = sum("unsent" in one for store in ("events", "photos") for one in self.read(store))
        page["truth"] = {"class": "kept", "text": say("job-kept-here", count=unsent), "ready": True}
        page["token"] = self.token()
        name = reader.name if (reader := self.reader()) else None
        if self.who().get("sign_in", {}).get("unchecked"):
            page["provisional"] = say("nav-unchecked", name=name)
        page |= lock_view(name, Settings.lock_after_s, say)
        return RUNNING.sub("", mustache.render("page", page))
