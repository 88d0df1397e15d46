"""What the tests of the mirror play: sheets, hands that do anything at all, and the same taps put to both sides."""

import json
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import asdict, dataclass, field, replace
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

from tests.core.cases import same
from tests.mirror.conftest import Mirror
from tests.mirror.taps import Given, form, wanted
from tests.sheets import APPRENTICE, KIT, SUPERVISOR, TECHNICIAN
from webapp.core import view
from webapp.core.act import Draft, act, is_repeat
from webapp.core.errors import BaybookError, Stale
from webapp.core.events import Event, next_round
from webapp.core.fold import apply, fold
from webapp.core.kinds import Moment
from webapp.core.sheet import Sheet
from webapp.core.standing import standing
from webapp.core.state import Clock, JobState
from webapp.core.view.typed import typed
from webapp.messages import say


@dataclass(frozen=True)
class Phone:
    """One phone's clocks, in seconds; a restart begins another boot."""

    boot: str
    mono_s: float
    wall_s: float

    def after(self, seconds: float, dice: Random) -> "Phone":
        later = replace(self, mono_s=round(self.mono_s + seconds, 3), wall_s=self.wall_s + seconds)
        if dice.random() > 0.06:
            return later
        return Phone(f"boot-{dice.randrange(16**6):06x}", dice.uniform(0, 90), later.wall_s + dice.gauss(0, 40_000))

    def clock(self) -> Clock:
        at = datetime(2026, 3, 2, 8, tzinfo=UTC) + timedelta(seconds=self.wall_s)
        return Clock(at.isoformat(timespec="milliseconds").replace("+00:00", "Z"), self.mono_s, self.boot)


@dataclass
class Played:
    """A history as Python decided it, and the question that puts the same taps to the mirror."""

    sheet: Sheet
    taps: list[dict[str, Any]]
    told: list[dict[str, Any]]
    events: list[Event]
    state: JobState
    states: list[JobState] = field(default_factory=list)

    def look_after(self, numbers: Iterable[int]) -> None:
        """Ask for the pages after these taps, a while later."""
        for number in numbers:
            about = self.taps[number]["about"]
            self.taps[number]["look"] = {"at": about["at"], "mono_s": about["mono_s"] + 7.25, "boot": about["boot"]}


def agree(mirror: Mirror, played: Played) -> None:
    """Put the same taps to the mirror and compare all that it says, to the last word of its pages."""
    found = mirror.out("play", {"sheet": played.sheet, "taps": played.taps, "shop": SHOP})
    for number, (right, said) in enumerate(zip(played.told, found["told"], strict=True)):
        shown, stands, tap = said.pop("pages", None), said.pop("stands", None), played.taps[number]
        assert same(said, plain(right)), (number, tap["given"], said, right)
        if tap["look"]:
            page = pages(played.sheet, played.states[number], Clock(**tap["look"]), tap["given"] or {})
            assert shown == plain(page), (number, tap["given"])
            names = [one["id"] for one in played.sheet["steps"]]
            assert stands == [standing(played.sheet, played.states[number], one) for one in names]
    assert same(found["state"], plain(played.state))


def random_history(dice: Random, sheet: Sheet, length: int, unheard: float = 0.0) -> Played:
    """Two phones at one job: right taps, wrong taps, taps on old pages and the same tap twice, clocks that jump.

    `unheard`: how often the next event is one of a phone that has not heard of the latest ones.
    """
    phones = {name: Phone(f"boot-{name}", dice.uniform(0, 1e6), 0.0) for name in "ab"}
    played = Played(sheet, [], [], [], fold(sheet, []))
    earlier, last = [played.state], {"do": "confirm"}
    keep(played, None, None, phones["a"].clock(), "a", Draft("started", None, 1, 0, {"sheet": "0" * 64}))
    for _ in range(length):
        name = dice.choices("ab", (4, 1))[0]
        phones = {who: phone.after(dice.uniform(0, 400), dice) for who, phone in phones.items()}
        drawn_from = dice.choice(earlier[-4:]) if dice.random() < 0.12 else played.state
        given = last if dice.random() < 0.05 else form(drawn_from, wanted(dice, sheet, drawn_from))
        moment = Moment(
            phones[name].clock(),
            dice.choice(("2026-03-02", "2027-01-01")),
            KIT if dice.random() < 0.9 else {code: {**item, "condition": "damaged"} for code, item in KIT.items()},
            dice.choice((TECHNICIAN, TECHNICIAN, APPRENTICE, SUPERVISOR, None)),
            dice.choice((SUPERVISOR, SUPERVISOR, TECHNICIAN, None)),
        )
        if unheard and dice.random() < unheard:
            old = dice.choice(earlier[-6:])
            with suppress(BaybookError):
                draft = act(sheet, old, form(old, wanted(dice, sheet, old)), moment)
                keep(played, None, None, phones["b"].clock(), "b", draft)
                earlier = [*earlier, played.state]
            continue
        later = phones[name] if dice.random() < 0.5 else phones[name].after(dice.uniform(0, 0.9), dice)
        keep(played, given, moment, later.clock(), name)
        earlier, last = [*earlier, played.state], given
    return played


def keep(
    played: Played, given: Given | None, moment: Moment | None, clock: Clock, device: str, draft: Draft | None = None
) -> None:
    """Decide one tap, or take a draft that needs no decision, and write down both question and answer."""
    person = moment.person.code if moment and moment.person else None
    number = len(played.taps) + 1
    known = played.events[-1].place if played.events else None
    name = {
        "id": f"event-{number}",
        "job": "job-1",
        "device": device,
        "seq": number,
        "round": next_round(known, device),
    }
    about = name | {"person": person, **asdict(clock)}
    played.taps.append(
        {
            "given": given,
            "moment": moment and asdict(moment),
            "about": about,
            "look": None,
            "kept": draft and asdict(draft),
        }
    )
    try:
        draft = draft or act(played.sheet, played.state, given or {}, moment or Moment(clock, ""))
    except BaybookError as error:
        again = {"repeat": is_repeat(played.sheet, played.state, given or {})} if isinstance(error, Stale) else {}
        played.told.append(error.as_dict() | again)
        played.states.append(played.state)
        return
    event = Event(**about, kind=draft.kind, step=draft.step, attempt=draft.attempt, turn=draft.turn, data=draft.data)
    played.events.append(event)
    played.told.append({"draft": asdict(draft)})
    played.state = apply(played.sheet, played.state, event)
    played.states.append(played.state)


SHOP = (KIT, "2026-03-02")


def pages(sheet: Sheet, state: JobState, now: Clock, given: Given) -> dict[str, Any]:
    """Every page of a job in this state, by name: the twin of `pages` in play.do.mjs."""
    at_hand = view.job_page(sheet, state, now, say, shop=SHOP)
    return {
        "job": at_hand,
        "again": view.job_page(sheet, state, now, say, again=True, shop=SHOP),
        "refused": at_hand | typed(given, "reason") | {"error": "Not so."},
        "steps": view.steps_page(sheet, state, now, say),
        "pause": view.pause_page(sheet, state, now, say),
        "trouble": view.trouble_page(sheet, state, now, say),
        "more": view.more_page(sheet, state, now, say),
        "seen": [view.step_page(sheet, state, step["id"], now, say) for step in sheet["steps"]],
    }


def plain(value: Any) -> Any:
    """The value as JSON brings it over."""
    return json.loads(json.dumps(value, allow_nan=False, default=asdict))
