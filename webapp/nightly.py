"""What a served shop does by itself, in processes of their own: a copy every day, and late entries of its log."""

import os
import subprocess
import sys
from datetime import datetime, timedelta
from time import sleep

from webapp.config import Settings


def seconds_until(at: str, now: datetime) -> float:
    """From `now`, on the shop's clock, to the next time that it shows `at`, HH:MM."""
    hour, minute = map(int, at.split(":"))
    then = now.replace(hour=hour, minute=minute, second=0, microsecond=0)
    if then <= now:
        then = (then + timedelta(days=1)).replace(tzinfo=None).astimezone()
    return (then - now).total_seconds()


def copy_now(settings: Settings) -> str:
    """Run `baybook backup` and return what it said."""
    return _run(settings, "backup", str(settings.backup_to))


def _run(settings: Settings, *asked: str) -> str:
    env = os.environ | {"DATA": str(settings.data), "DATABASE_URL": settings.database_url}
    env |= {"KEEP_VEHICLE": str(settings.keep_vehicle_days), "KEEP_PHOTOS": str(settings.keep_photos_days)}
    if settings.backup_key:
        env["BACKUP_KEY"] = str(settings.backup_key)
    command = [sys.executable, "-m", "webapp.cli", *asked]
    done = subprocess.run(command, env=env, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False)  # noqa: S603
    return (done.stdout or done.stderr).strip()


def enter_late(settings: Settings) -> None:
    """Run `baybook catch-up`: a shop with years of jobs from before there was a log takes minutes for it."""
    _run(settings, "catch-up")


def retain_daily(settings: Settings) -> None:
    """For a thread of the serving process: once when it begins, since some are only served by day, then every night."""
    while True:
        _run(settings, "retain")
        sleep(seconds_until(settings.backup_at, datetime.now().astimezone()))


def copy_daily(settings: Settings) -> None:
    """For a thread of the serving process: it ends with that."""
    while True:
        sleep(seconds_until(settings.backup_at, datetime.now().astimezone()))
        print(copy_now(settings), flush=True)  # noqa: T201 - for whoever looks after it
