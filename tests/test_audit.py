"""The audit of what the shop runs: what is known fails; where nobody can be asked that is said, and nothing fails."""

import json
import os
import re
import runpy
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, HTTPServer
from typing import Any

import pytest

from webapp.paths import STATIC

ROOT = STATIC.parent
AUDIT = runpy.run_path(str(ROOT / ".ci/audit.py"))
NOBODY = "not audited, since no index of known vulnerabilities answered"


@contextmanager
def index(javascript: dict[str, Any], python: dict[str, Any] | None = None) -> Iterator[str]:
    """An index of vulnerabilities on this machine, as npm and pip-audit ask one. `python`: by name of the package."""

    class Answers(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            asked = self.rfile.read(int(self.headers["Content-Length"]))
            name = json.loads(asked)["package"]["name"] if self.path == "/osv" else None
            known = (python or {}).get(name, {}) if name else javascript
            body = json.dumps(known).encode()
            self.send_response(200)
            self.send_header("Content-Type", "application/json")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, *_said: Any) -> None:
            """Nothing: the test's own output is enough."""

    with HTTPServer(("127.0.0.1", 0), Answers) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        try:
            yield f"http://127.0.0.1:{server.server_port}/"
        finally:
            server.shutdown()


def audited(address: str, **more: str) -> subprocess.CompletedProcess[str]:
    """The audit where the network leads nowhere, and the index of JavaScript is at this address."""
    env = {**os.environ, "https_proxy": "http://127.0.0.1:9", "npm_config_registry": address, "no_proxy": "127.0.0.1"}
    env |= more
    return subprocess.run(
        [sys.executable, str(ROOT / ".ci/audit.py")], env=env, capture_output=True, text=True, check=False
    )


def test_without_any_index_it_says_so_and_lets_the_check_pass() -> None:
    done = audited("http://127.0.0.1:9/")
    assert done.returncode == 0
    assert done.stdout.splitlines() == [f"Python: {NOBODY}", f"JavaScript: {NOBODY}"]


def test_a_known_vulnerability_fails_and_is_named() -> None:
    bad = {
        "id": 1,
        "url": "",
        "title": "Writes what it should escape",
        "severity": "high",
        "vulnerable_versions": "<99",
    }
    with index({"mustache": [bad]}) as address:
        done = audited(address)
    assert done.returncode == 1
    assert "JavaScript: mustache <99: Writes what it should escape" in done.stdout
    with index({}) as address:
        done = audited(address)
    assert (done.returncode, done.stdout.splitlines()) == (0, [f"Python: {NOBODY}"])


def test_a_known_vulnerability_of_a_python_package_fails_too() -> None:
    span = {"type": "ECOSYSTEM", "events": [{"introduced": "0"}, {"fixed": "9999"}]}
    about = {"package": {"name": "flask", "ecosystem": "PyPI"}, "ranges": [span]}
    bad = {"id": "PYSEC-1", "aliases": [], "summary": "Lets anybody in", "affected": [about]}
    with index({}, {"flask": {"vulns": [bad]}}) as address:
        done = audited(address, PIP_AUDIT_VULNERABILITY_SERVICE="osv", PIP_AUDIT_OSV_URL=f"{address}osv")
    assert done.returncode == 1
    assert re.fullmatch(r"Python: flask \S+: PYSEC-1, mended in 9999\n", done.stdout)


@pytest.mark.parametrize("said", [None, [], {}, "", 1])
def test_an_answer_that_is_none_counts_as_nobodys(said: Any) -> None:
    assert AUDIT["python_found"](said) == AUDIT["javascript_found"](said) == ([], NOBODY)


def test_what_pip_audit_says_is_read() -> None:
    sound = {"name": "flask", "version": "3.1.3", "vulns": []}
    bad = {"id": "PYSEC-1", "fix_versions": ["2.0"], "aliases": [], "description": ""}
    open_ = bad | {"id": "PYSEC-2", "fix_versions": []}
    hit = {"name": "pillow", "version": "1.0", "vulns": [bad, open_]}
    skipped = {"name": "own", "skip_reason": "Dependency not found on PyPI"}
    assert AUDIT["python_found"]({"dependencies": [sound, hit, skipped]}) == (
        ["pillow 1.0: PYSEC-1, mended in 2.0", "pillow 1.0: PYSEC-2, mended in no version yet"],
        "1 of 3 packages not audited, since no index knows them",
    )
    assert AUDIT["python_found"]({"dependencies": [sound]}) == ([], "")
