"""Serving: the WSGI server, the address in the terminal, the demo shop."""

import gc
import os
import signal
import socket
from datetime import datetime
from functools import partial
from io import StringIO
from multiprocessing import Semaphore, parent_process, set_start_method
from multiprocessing.synchronize import Semaphore as SemaphoreType
from threading import Thread
from time import sleep

import qrcode
from flask import Flask
from granian import Granian
from granian.constants import HTTPModes, Interfaces
from granian.log import LogLevels

from webapp import create_app
from webapp.config import Settings
from webapp.core.errors import BadInput
from webapp.library.load import load
from webapp.storage import demo, engine
from webapp.storage.migrate import upgrade

# Python works on one core at a time, so there are two processes where there are two cores; with more of them, fewer
# writers would share each flush. A process has as many threads as phones may tap at the same moment: one that waits for
# its flush costs nothing.
PROCESSES = min(2, os.cpu_count() or 1)
THREADS = 32
STOPS_WITHIN_S = 5
HISTORY_JOBS = 40


def run(settings: Settings, with_demo: bool) -> None:
    """Serve until it is told to stop.

    Raises BadInput (`bad-setting`, `library`) or Conflict (`database-newer`) for what would keep it from serving.
    """
    _need_free_port(settings)
    if with_demo:
        fill_demo(settings, HISTORY_JOBS, 1)
    app = create_app(settings)
    app.extensions["engine"].dispose()  # the server's process opens connections of its own
    # The application is made once, here, where what is wrong can be said in one line; the server's processes are forked
    # from this one, which has no threads yet that could hold a lock, and so have it at once.
    set_start_method("fork", force=True)
    gc.freeze()  # what is here now stays to the end: nobody need look through it for garbage again and again
    server = Granian(
        "baybook",
        address=settings.host,
        port=settings.port,
        interface=Interfaces.WSGI,
        http=HTTPModes.http1,
        workers=PROCESSES,
        respawn_failed_workers=True,
        blocking_threads=THREADS,
        workers_kill_timeout=STOPS_WITHIN_S,
        log_level=LogLevels.error,
    )
    server.serve(target_loader=partial(_in_worker, app, settings, Semaphore()), wrap_loader=False)


def _in_worker(app: Flask, settings: Settings, greeter: SemaphoreType) -> Flask:
    """The application, in a process that answers. The first of them greets."""
    if greeter.acquire(block=False):
        Thread(target=_greet_when_up, args=(settings,), daemon=True).start()
    Thread(target=_end_with_parent, daemon=True).start()
    return app


def _end_with_parent() -> None:
    """When the process that was started is killed, this one must not go on holding the port."""
    if parent := parent_process():
        parent.join()
        os.kill(os.getpid(), signal.SIGTERM)


def _need_free_port(settings: Settings) -> None:
    """The WSGI server itself would share the port with another one, and each would get some of the taps."""
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    try:
        socket.create_server((settings.host, settings.port), family=family).close()
    except OSError as error:
        why = os.strerror(error.errno) if error.errno else str(error)
        what = f"PORT={settings.port} on {settings.host} cannot be used: {why}; choose another"
        raise BadInput("bad-setting", "PORT", what) from error


def _greet_when_up(settings: Settings) -> None:
    """Print the address once somebody answers there."""
    host = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(settings.host, settings.host)  # noqa: S104 - compared, not bound
    while True:
        try:
            socket.create_connection((host, settings.port), timeout=1).close()
        except OSError:
            sleep(0.02)
        else:
            break
    print(greeting(settings), flush=True)  # noqa: T201 - the person who started it reads this


def fill_demo(settings: Settings, jobs: int, seed: int) -> str:
    """Fill an empty shop; one that has anybody or anything is left alone. Return what was done, in a sentence."""
    made = engine.engine(settings.database_url)
    upgrade(made)
    with engine.session(made) as held:
        if not demo.is_empty(held):
            made.dispose()
            return "This shop has people or kit already; the demo shop was not added."
    from webapp.storage.history import load_history  # it brings much along, and only a new shop needs it

    library = load(settings.procedures)
    with engine.writing(made) as held:
        demo.load(held, library.catalogue, datetime.now().astimezone().date())
    count = load_history(made, library, settings.photos, jobs=jobs, seed=seed)
    made.dispose()
    return f"The demo shop is in {settings.data}, with {count} finished jobs."


def address(settings: Settings) -> str:
    """The address that a phone in the shop's network would use."""
    host = settings.host
    if host in ("0.0.0.0", "::", ""):  # noqa: S104 - compared, not bound
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            try:
                # No packet is sent: this only asks the system which of its own addresses faces the network.
                probe.connect(("192.0.2.1", 9))
                host = probe.getsockname()[0]
            except OSError:
                host = "127.0.0.1"
    return f"http://{host}:{settings.port}/"


def greeting(settings: Settings) -> str:
    code = qrcode.QRCode(border=2)
    code.add_data(address(settings))
    drawn = StringIO()
    code.print_ascii(out=drawn, invert=True)
    return f"{drawn.getvalue()}\nBaybook serves {address(settings)} · data in {settings.data} · stop with Ctrl-C"
