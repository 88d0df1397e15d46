"""Rounds of work and trouble: what goes wrong, when, and when it is mended, all comes from a seed."""

from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from random import Random

from playwright.sync_api import Error

from ..wire import Wire
from .hands import Hands
from .server import Server

Deed = Callable[[], object]
TAPS = range(3, 7)
MOST_LOOKS = 30
MOST_BYTES = 40_000

# Where the network is held, a browser looks for a newer version as long as that lasts; a person does not wait for it.
LOOK_FOR_NEWER = """() => Promise.race([
  navigator.serviceWorker.getRegistration().then((own) => own?.update()),
  new Promise((go) => setTimeout(go, 15_000)),
])"""


@dataclass
class Bench:
    """The shop, the network, the phones and the open jobs; and how often each thing went wrong."""

    server: Server
    wire: Wire
    hands: list[Hands]
    jobs: list[str]
    faults: Counter[str] = field(default_factory=Counter)

    def heal(self) -> None:
        """Disk, server, network and phones work again, and each phone is looked at: that is all that happens."""
        self.wire.heal()
        self.server.make_room()
        self.server.start()
        assert self.server.wait_until_up(), "the server did not come up again"
        for one in (*self.hands, *self.hands[:-1]):  # the first ones hear in the end what the last one brought
            one.bring_home(self.jobs[0])


@dataclass(frozen=True)
class Fault:
    """Something that goes wrong, and what mends it some taps later, if anything has to. `at`: see Round."""

    name: str
    begin: Deed
    mend: Deed | None = None
    at: tuple[str, ...] = ("tap", "look", "bytes")


def faults_of(bench: Bench, one: Hands) -> list[Fault]:
    server, wire = bench.server, bench.wire
    found = [
        Fault("phone killed", one.browser.kill),
        Fault("server killed", server.kill, server.start),
        Fault("server process killed", server.kill_one),
        Fault("network cut", wire.cut, wire.heal),
        Fault("network held", wire.hold, wire.heal),
        Fault("network broken off", wire.break_off, at=("bytes",)),
        Fault("worker stopped", one.browser.stop_workers, at=("tap", "look")),
        Fault("app updated", server.change_version, lambda: update(bench, one), at=("tap",)),
    ]
    return [*found, Fault("disk full", server.fill_disk, server.make_room)] if server.has_disk else found


def update(bench: Bench, one: Hands) -> None:
    """With a break, since no version comes in the middle of a job, the phone looks for a newer one; and its tab is
    closed and opened, as it may be at any time.
    """
    if bench.server.wait_until_up() and not one.browser.is_killed:
        with suppress(Error):  # the network may be gone, or the browser may be killed just now
            one.take_a_break(bench.jobs)
            one.page.evaluate(LOOK_FOR_NEWER)
        with suppress(Error):
            one.browser.open_tab()


class Round:
    """Taps on one job or two by any of the phones, and one fault to three. A fault begins before a tap, after some
    looks at a page that has not answered yet, or when so many more bytes have passed on the wire.
    """

    def __init__(self, bench: Bench, seed: str) -> None:
        self.bench, self.dice = bench, Random(seed)
        self.taps = self.dice.choice(TAPS) * len(bench.hands)
        self.due: dict[int, list[Deed]] = {}
        for _ in range(self.dice.choice((1, 1, 2, 3))):
            self._plan(self.dice.choice(faults_of(bench, self.dice.choice(bench.hands))))

    def _plan(self, fault: Fault) -> None:
        number = self.dice.randrange(self.taps)
        begin = lambda: self._begin(fault)  # noqa: E731 - three moments, one deed
        looks, count = self.dice.randrange(1, MOST_LOOKS), self.dice.randrange(1, MOST_BYTES)
        moments: dict[str, Deed] = {
            "tap": begin,
            "look": lambda: self._at_look(looks, begin),
            "bytes": lambda: self.bench.wire.after(count, begin),
        }
        self.due.setdefault(number, []).append(moments[self.dice.choice(fault.at)])
        if fault.mend:
            self.due.setdefault(number + self.dice.randrange(1, 4), []).append(fault.mend)

    def _begin(self, fault: Fault) -> None:
        self.bench.faults[fault.name] += 1
        with suppress(Error):  # what is to be stopped may have ended
            fault.begin()

    def _at_look(self, number: int, begin: Deed) -> None:
        for one in self.bench.hands:
            one.on_look = lambda count: begin() if count == number else None

    def work(self) -> None:
        for number in range(self.taps):
            for deed in self.due.pop(number, []):
                deed()
            one, job = self.dice.choice(self.bench.hands), self.dice.choice(self.bench.jobs)
            one.try_to(lambda one=one, job=job: one.go_on(one.job_at_hand(self.bench.jobs, job)))
        for one in self.bench.hands:
            one.on_look = lambda _count: None
            one.revive()
        self.bench.heal()
