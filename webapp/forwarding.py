"""Sending to head office by itself: what waits goes when the line, the hours and the rate allow it."""

import os
import subprocess
import sys
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from random import random
from time import monotonic, sleep

from sqlalchemy.engine import Engine

from webapp.config import Settings
from webapp.core.errors import BaybookError
from webapp.nightly import seconds_until
from webapp.storage import outbox, releases
from webapp.storage.engine import session, writing
from webapp.storage.migrate import opened
from webapp.storage.moments import instant, seconds_between
from webapp.sync.forward import Exchange, turn
from webapp.sync.line import line_to
from webapp.sync.pull import pull

LOOKS_EVERY_S = 5.0
"""How often it is looked whether something more waits: a job is at head office within some seconds."""
LOOKS_AGAIN_S = 600.0
"""With nothing to send: how often head office is asked all the same, since it says which photos lack."""
TELLS_AGAIN_S = 15.0
"""How long after head office was last asked it is told of a decision: one that cannot be told is tried so often."""
POLITE = 10
"""What phones ask goes first: the sender has a lower priority (`nice`)."""


def mark(data: Path) -> Path:
    """The file that says that this shop has joined: whoever serves it then starts a sender."""
    return data / "head-office"


def send_by_itself(settings: Settings) -> None:
    """For a thread of the serving process: a process of its own sends, and is begun anew should it end."""
    while True:
        if mark(settings.data).exists():
            env = os.environ | {"DATA": str(settings.data), "DATABASE_URL": settings.database_url}
            command = [sys.executable, "-m", "webapp.cli", "send", "--stay", "--beside", str(os.getpid())]
            subprocess.run(command, env=env, stdin=subprocess.DEVNULL, check=False)  # noqa: S603
        sleep(LOOKS_EVERY_S)


def send(settings: Settings, version: str, tell: Callable[[str], None]) -> None:
    """Send all that waits, then end. Raises what kept it from being sent."""
    with opened(settings.database_url) as made:
        exchange = _line(made)
        if exchange is None:
            tell("This shop has joined no head office.")
            return
        entries = 0
        while sent := turn(made, settings, exchange, version, instant(_now()), random()):  # noqa: S311 - spreads tries
            entries += sent.entries
            if not sent.more:
                break
        tell(f"{entries} entries of the log were sent to head office; nothing waits.")
        pulled = pull(made, settings, exchange, instant(_now()))
        if pulled and pulled.number:
            tell(f"Release {pulled.number} was fetched; a supervisor or a manager decides on it on the page /releases.")


def stay(settings: Settings, version: str, parent: int) -> None:
    """Send whatever waits, now and from now on; end where the process that began this one has ended.

    `parent` is its number: asked for here, it could have ended before, and this one would stay beside nobody.
    """
    with suppress(KeyboardInterrupt), opened(settings.database_url) as made:  # a Ctrl-C is for all of a terminal
        os.nice(POLITE)
        while os.getppid() == parent:
            sleep(_once(made, settings, version))


def _once(engine: Engine, settings: Settings, version: str) -> float:
    """One turn, if it is time for one; return how many seconds to wait before the next."""
    _take_up(engine)
    if closed_for(settings.send_hours, _now().astimezone()):
        return LOOKS_EVERY_S
    _pull(engine, settings)
    if not _is_due(engine):
        return LOOKS_EVERY_S
    begun, exchange = monotonic(), _line(engine)
    if exchange is None:
        return LOOKS_EVERY_S
    try:
        sent = turn(engine, settings, exchange, version, instant(_now()), random())  # noqa: S311
    except BaybookError:
        return LOOKS_EVERY_S  # it stands with the outbox, with when it is tried again
    if sent is None or not sent.more:
        return LOOKS_EVERY_S
    return pause_s(sent.sent_bytes, settings.send_rate_kb_s, monotonic() - begun)


def _take_up(engine: Engine) -> None:
    """Take up a release that was approved for when no job is running, if none is."""
    with session(engine) as db:
        if releases.pending(db) is None or releases.running(db):
            return
    with writing(engine) as db:
        releases.take_up(db, instant(_now()))


def _pull(engine: Engine, settings: Settings) -> None:
    """Ask for a release, and tell of decisions, if it is time for it."""
    with session(engine) as db:
        office = outbox.head_office(db)
        if office is None:
            return
        asked_at, now = releases.asked(db).asked_at, instant(_now())
        waits_s = seconds_between(asked_at, now) if asked_at else LOOKS_AGAIN_S
        news = waits_s >= TELLS_AGAIN_S and releases.untold(db, office, {}) is not None
    if waits_s < LOOKS_AGAIN_S and not news:
        return
    try:
        pull(engine, settings, line_to(office.url, office.authority), now)
    except BaybookError:
        return  # it stands on the shop's page


def _is_due(engine: Engine) -> bool:
    """Whether it is time to try: something waits and no failure holds it back, or head office was long not asked."""
    with session(engine) as db:
        office = outbox.head_office(db)
        if office is None:
            return False
        now = instant(_now())
        if office.next_at:
            return office.next_at <= now
        long_ago = office.done_at is None or seconds_between(office.done_at, now) > LOOKS_AGAIN_S
        return long_ago or office.photos > 0 or outbox.waiting(db, office) != 0


def pause_s(sent_bytes: int, rate_kb_s: int, took_s: float) -> float:
    """How long to wait after so many bytes that took so long, for a rate of so many kilobytes a second; 0 is any."""
    return max(0.0, sent_bytes / (1000 * rate_kb_s) - took_s) if rate_kb_s else 0.0


def closed_for(hours: tuple[str, str] | None, now: datetime) -> float:
    """Seconds until the hours of sending begin; 0 within them, and where there are none."""
    if hours is None:
        return 0.0
    begin, end = hours
    at = f"{now:%H:%M}"
    within = begin <= at < end if begin < end else at >= begin or at < end
    return 0.0 if within else seconds_until(begin, now)


def _line(engine: Engine) -> Exchange | None:
    with session(engine) as db:
        office = outbox.head_office(db)
    return line_to(office.url, office.authority) if office else None


def _now() -> datetime:
    return datetime.now(UTC)
