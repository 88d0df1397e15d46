"""The copy that a served shop makes of itself every day, in a process of its own."""

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
    env = os.environ | {"DATA": str(settings.data), "DATABASE_URL": settings.database_url}
    if settings.backup_key:
        env["BACKUP_KEY"] = str(settings.backup_key)
    command = [sys.executable, "-m", "webapp.cli", "backup", str(settings.backup_to)]
    done = subprocess.run(command, env=env, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False)  # noqa: S603
    return (done.stdout or done.stderr).strip()


def copy_daily(settings: Settings) -> None:
    """For a thread of the serving process: it ends with that."""
    while True:
        sleep(seconds_until(settings.backup_at, datetime.now().astimezone()))
        print(copy_now(settings), flush=True)  # noqa: T201 - for whoever looks after it
