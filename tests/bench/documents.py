"""The backlog of fifty phones beside the bulk endpoint of an open-source document database that replicates.

The same events, in the same fifty requests at once, go to a PouchDB Server (LevelDB below it, as it comes) as documents
with a name each. It checks no signature and decides nothing, and does not wait for the disk. It is one process and so
has one core for its JavaScript; ours are three, on all of the machine's. Both in turn, each with a new folder on the
same disk; of the ratios the median is told. It is installed from npm's registry when first measured.
"""

import json
import os
import shutil
import subprocess
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager, suppress
from http.client import HTTPConnection
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter, sleep
from typing import Any

from webapp.config import Settings

from ..browser.shop import free_port
from .backlog import EVENTS, PHONES, Work, open_shop, take

PACKAGE = "pouchdb-server@4.2.0"
FOLDER = Path("build/documents")
ROUNDS, WAIT_S, LOOK_S = 3, 60, 0.1
JSON = {"Content-Type": "application/json"}


def run() -> dict[str, Any]:
    program = _installed()
    rounds = [_round(program) for _ in range(ROUNDS)]
    return {
        "database": PACKAGE,
        "events": PHONES * EVENTS,
        "events_per_s": round(median(ours for ours, _theirs in rounds)),
        "documents_per_s": round(median(theirs for _ours, theirs in rounds)),
        "ratio": round(median(ours / theirs for ours, theirs in rounds), 2),
        "ratios": sorted(round(ours / theirs, 2) for ours, theirs in rounds),
    }


def _installed() -> Path:
    program = FOLDER / "node_modules/.bin/pouchdb-server"
    if not program.exists():
        FOLDER.mkdir(parents=True, exist_ok=True)
        npm = shutil.which("npm") or str(Path(".venv/bin/npm").resolve())
        install = [npm, "install", "--prefix", str(FOLDER), "--ignore-scripts", "--no-audit", "--no-fund", PACKAGE]
        subprocess.run(install, check=True, stdout=subprocess.DEVNULL)
    return program.resolve()


def _round(program: Path) -> tuple[float, float]:
    """Events and documents a second."""
    with open_shop() as shop:
        work = Work(shop)
        theirs_s = _stored(program, shop, [_documents(requests[0].body) for requests in work.batches])
        ours_s, _differences = take(shop, work)
    return PHONES * EVENTS / ours_s, PHONES * EVENTS / theirs_s


def _documents(body: bytes) -> bytes:
    events = [json.loads(line) for line in json.loads(body)["events"]]
    return json.dumps({"docs": [{"_id": f"{one['device']}:{one['seq']:06}", **one} for one in events]}).encode()


def _stored(program: Path, shop: Settings, batches: list[bytes]) -> float:
    """Seconds in which all of it was stored."""
    with _served(program, shop.data / "documents") as port, ThreadPoolExecutor(PHONES) as phones:
        _ask(port, "PUT", "/events", b"")
        begin = perf_counter()
        answers = list(phones.map(lambda body: _ask(port, "POST", "/events/_bulk_docs", body), batches))
        seconds = perf_counter() - begin
    if sum(one.get("ok", False) for each in answers for one in each) != PHONES * EVENTS:
        raise RuntimeError("not every document was stored")
    return seconds


def _ask(port: int, method: str, path: str, body: bytes) -> Any:
    with closing(HTTPConnection("127.0.0.1", port)) as connection:
        connection.request(method, path, body, JSON)
        return json.loads(connection.getresponse().read())


@contextmanager
def _served(program: Path, folder: Path) -> Iterator[int]:
    folder.mkdir()
    port = free_port()
    # It writes its own settings and log where it is started.
    with TemporaryDirectory() as here:
        started = [str(program), "--port", str(port), "--host", "127.0.0.1", "--dir", str(folder), "--no-stdout-logs"]
        server = subprocess.Popen(started, cwd=here, stdout=subprocess.DEVNULL, env=dict(os.environ))
        try:
            _wait(port)
            yield port
        finally:
            server.terminate()
            server.wait()


def _wait(port: int) -> None:
    end = perf_counter() + WAIT_S
    while perf_counter() < end:
        with suppress(OSError):
            _ask(port, "GET", "/", b"")
            return
        sleep(LOOK_S)
    raise RuntimeError(f"the document database did not answer on port {port} within {WAIT_S} s")
