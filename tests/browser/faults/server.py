"""A shop's server that ends like one whose plug is pulled, comes back in another version, and runs out of disk."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing, suppress
from pathlib import Path

from .. import shop

ROOT = Path(__file__).parents[3]
DISK_BYTES, PIECE_BYTES = 128_000_000, 1_000_000
NEWER = "css/baybook.css"


class Server:
    """The demo shop in `folder`, always at the same port, its data on a small disk of their own where that can be."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.port = folder, shop.free_port()
        self.data = folder / "data"
        self.data.mkdir(parents=True)
        self.has_disk = self._mount()
        self.versions = [ROOT, another_version(folder / "newer")]
        self.procedures = shop.quick_procedures(folder / "procedures", seconds=1)
        self._run("demo", "--jobs", "0").communicate()
        self._begin()
        self.wait_until_up()

    @property
    def database(self) -> str:
        return f"sqlite:///{self.data / 'baybook.db'}"

    def _run(self, *command: str) -> subprocess.Popen[str]:
        env = {**os.environ, "DATA": str(self.data), "PORT": str(self.port), "HOST": "127.0.0.1", "HTTPS_PORT": "0"}
        env |= {"PROCEDURES": str(self.procedures), "PYTHONPATH": "", "PYTHONSAFEPATH": ""}
        baybook = [sys.executable, "-m", "webapp.cli", *command]
        return subprocess.Popen(
            baybook, env=env, cwd=self.versions[0], stdout=subprocess.PIPE, text=True, start_new_session=True
        )

    # --- its processes

    def kill(self) -> None:
        """All of them, at once."""
        if self.is_up():
            os.killpg(self.process.pid, signal.SIGKILL)
            self.process.wait()

    def kill_one(self) -> None:
        """One of those that answer; the others go on, and another is started in its place.

        Once only: where that one soon ends too, the whole server does, some seconds later.
        """
        if self._has_lost_one:
            return
        self._has_lost_one = True
        with suppress(FileNotFoundError, ProcessLookupError):
            children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text().split()
            for child in children[-1:]:
                os.kill(int(child), signal.SIGKILL)

    def is_up(self) -> bool:
        return self.process.poll() is None

    def start(self) -> None:
        """Start it, if it does not run. It answers some time later."""
        if not self.is_up():
            self._forget()
            self._begin()

    def _begin(self) -> None:
        self.process, self._is_ready, self._has_lost_one = self._run("serve"), False, False

    def _forget(self) -> None:
        assert self.process.stdout is not None
        self.process.stdout.close()

    def wait_until_up(self) -> bool:
        """Whether it answers in the end; it may be killed before."""
        assert self.process.stdout is not None
        self._is_ready = self._is_ready or any("Baybook serves" in line for line in self.process.stdout)
        return self._is_ready and self.is_up()

    def change_version(self) -> None:
        """Killed, and started again with other files for the phone."""
        self.versions.reverse()
        self.kill()
        self.start()

    # --- its disk

    def _mount(self) -> bool:
        """Only root may; where that is somebody else, the disk is never full."""
        mount = ["mount", "-t", "tmpfs", "-o", f"size={DISK_BYTES}", "baybook", str(self.data)]
        return os.geteuid() == 0 and subprocess.run(mount, check=False, capture_output=True).returncode == 0

    def fill_disk(self) -> None:
        """Not a byte more fits on it. What the database had room for in its files it has no more."""
        if not self.has_disk:
            return
        if not (self.data / "ballast").exists():  # else it is full already, and nothing can be moved on it
            with closing(sqlite3.connect(self.data / "baybook.db")) as connection:
                connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        ballast = os.open(self.data / "ballast", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
        with suppress(OSError):  # that is how the end of a disk is found
            while True:
                os.write(ballast, bytes(PIECE_BYTES))
        os.close(ballast)

    def make_room(self) -> None:
        (self.data / "ballast").unlink(missing_ok=True)

    def close(self) -> None:
        self.kill()
        self._forget()
        if self.has_disk:
            subprocess.run(["umount", "--lazy", str(self.data)], check=True)


def another_version(folder: Path) -> Path:
    """The whole app once more, with one file of the phone's changed."""
    leave = shutil.ignore_patterns("node_modules", "__pycache__")
    for name in ("webapp", "static"):
        shutil.copytree(ROOT / name, folder / name, ignore=leave)
    with (folder / "static" / NEWER).open("a") as file:
        file.write("/* a newer version */\n")
    return folder
