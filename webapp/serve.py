"""Serving: the WSGI servers for http and https, and the demo shop."""

import gc
import os
import signal
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import partial
from multiprocessing import Process, Semaphore, set_start_method
from multiprocessing.synchronize import Semaphore as SemaphoreType
from threading import Thread
from time import sleep
from typing import Any

from flask import Flask
from granian import Granian
from granian.constants import HTTPModes, Interfaces
from granian.log import LogLevels

from webapp import create_app, ending, tls
from webapp.config import Settings
from webapp.core.errors import BadInput, BaybookError
from webapp.forwarding import send_by_itself
from webapp.greeting import first_code, greeting, warnings
from webapp.library.load import load
from webapp.nightly import copy_daily, enter_late, retain_daily
from webapp.storage import demo, engine, log
from webapp.storage.migrate import opened

# Python works on one core at a time, so there is a process for each of two cores, and one more that works while another
# waits for its flush; with more of them, fewer writers would share each. A process has as many threads as phones may
# tap at the same moment: one that waits for its flush costs nothing.
COLLECTED_AFTER = 50_000, 20, 20
"""So many more objects than were given up; then so many times that, and so many times again."""
PROCESSES = min(2, os.cpu_count() or 1) + 1
THREADS = 32
STOPS_WITHIN_S = 5
RENEWS_EVERY_S = 3600
HISTORY_JOBS = 40


def run(settings: Settings, with_demo: bool) -> None:
    """Serve until it is told to stop.

    Raises BadInput (`bad-setting`, `library`) or Conflict (`database-newer`) for what would keep it from serving.
    """
    _need_free_port(settings.host, "PORT", settings.port)
    if settings.https_port:
        _need_free_port(settings.host, "HTTPS_PORT", settings.https_port)
    if with_demo:
        fill_demo(settings, HISTORY_JOBS, 1, in_hand=True)
    files = tls.serving(settings, tls.now()) if settings.https_port else None
    app = create_app(settings)
    made = app.extensions["engine"]
    said = [*warnings(settings, made), greeting(settings), *first_code(settings, made)]
    is_behind = log.is_behind(made)
    made.dispose()  # the servers' processes open connections of their own
    # The application is made once, here, where what is wrong can be said in one line; the servers' processes are forked
    # from this one, which has no threads yet that could hold a lock, and so have it at once.
    set_start_method("fork", force=True)
    os.register_at_fork(after_in_child=ending.begins_anew)
    spare_the_collector()
    server = _server(settings.host, settings.port)
    if is_behind:
        server.on_startup(Thread(target=enter_late, args=(settings,), daemon=True).start)
    if settings.keep_vehicle_days or settings.keep_photos_days:
        server.on_startup(Thread(target=retain_daily, args=(settings,), daemon=True).start)
    server.on_startup(Thread(target=send_by_itself, args=(settings,), daemon=True).start)
    if settings.backup_to:
        server.on_startup(Thread(target=copy_daily, args=(settings,), daemon=True).start)
    with _https_beside(server, app, settings, files):
        ending.ends_within(4 * STOPS_WITHIN_S)
        server.serve(
            target_loader=partial(_in_worker, app, partial(_greet_once, Semaphore(), settings, said)), wrap_loader=False
        )


def spare_the_collector() -> None:
    """What is here now stays to the end, and what a request makes goes when it ends: neither is looked through for
    garbage again and again, as hundreds of events that are read at once would have it.
    """
    gc.freeze()
    gc.set_threshold(*COLLECTED_AFTER)


def _server(host: str, port: int, **more: Any) -> Any:
    return Granian(
        "baybook",
        address=host,
        port=port,
        interface=Interfaces.WSGI,
        http=HTTPModes.http1,
        workers=PROCESSES,
        respawn_failed_workers=True,
        blocking_threads=THREADS,
        workers_kill_timeout=STOPS_WITHIN_S,
        log_level=LogLevels.error,
        **more,
    )


@contextmanager
def _https_beside(server: Any, app: Flask, settings: Settings, files: tls.Serving | None) -> Iterator[None]:
    """The same application under TLS, in processes of its own: whoever does not use it pays nothing for it."""
    if not files or not settings.https_port:
        yield
        return
    secure = Process(target=_serve_https, args=(app, settings, settings.https_port, files))
    secure.start()
    server.on_startup(partial(ending.with_child, secure))
    try:
        yield
    finally:
        ending.stop(secure)


def _serve_https(app: Flask, settings: Settings, port: int, files: tls.Serving) -> None:
    """For the process that looks after these.

    Once an hour the certificate is looked at. Where it was renewed, or the shop's own files were replaced, the
    processes are replaced one after the other, and no connection is cut.
    """
    ending.with_parent()
    ending.ends_within(2 * STOPS_WITHIN_S)
    served = tls.stamp(files)

    def renew(*_signal: object) -> None:
        nonlocal served
        try:
            found = tls.stamp(tls.serving(settings, tls.now()))
        except (BaybookError, OSError, ValueError) as error:  # half replaced, or no room left
            print(f"Baybook keeps its old certificate: {error}", flush=True)  # noqa: T201 - for whoever looks after it
            return
        if found != served:
            served = found
            os.kill(os.getpid(), signal.SIGHUP)

    signal.signal(signal.SIGALRM, renew)
    server = _server(settings.host, port, ssl_cert=files.chain, ssl_key=files.key)
    server.on_startup(partial(signal.setitimer, signal.ITIMER_REAL, RENEWS_EVERY_S, RENEWS_EVERY_S))
    server.serve(target_loader=partial(_in_worker, app), wrap_loader=False)


def _in_worker(app: Flask, begin: Any = lambda: None) -> Flask:
    """The application, in a process that answers."""
    signal.signal(signal.SIGALRM, signal.SIG_IGN)  # that one is for the process which looks after this one
    ending.with_parent()
    ending.ends_within(STOPS_WITHIN_S)
    begin()
    return app


def _need_free_port(host: str, name: str, port: int) -> None:
    """The WSGI server itself would share the port with another one, and each would get some of the taps."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    try:
        socket.create_server((host, port), family=family).close()
    except OSError as error:
        why = os.strerror(error.errno) if error.errno else str(error)
        raise BadInput("bad-setting", name, f"{name}={port} on {host} cannot be used: {why}; choose another") from error


def _greet_once(greeter: SemaphoreType, settings: Settings, said: list[str]) -> None:
    """The first of the processes tells the person who started them."""
    if greeter.acquire(block=False):
        Thread(target=_greet_when_up, args=(settings, said), daemon=True).start()


def _greet_when_up(settings: Settings, said: list[str]) -> None:
    """Print the addresses once somebody answers at all of them."""
    host = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(settings.host, settings.host)  # noqa: S104 - compared, not bound
    waited_for = [port for port in (settings.port, settings.https_port) if port]
    while waited_for:
        try:
            socket.create_connection((host, waited_for[0]), timeout=1).close()
        except OSError:
            sleep(0.02)
        else:
            waited_for.pop(0)
    print("\n".join(said), flush=True)  # noqa: T201 - the person who started it reads this


def fill_demo(settings: Settings, jobs: int, seed: int, in_hand: bool = False) -> str:
    """Fill an empty shop; one that has anybody or anything is left alone. Return what was done, in a sentence.

    `in_hand`: there is a job to go on with as well.
    """
    with opened(settings.database_url) as made:
        with engine.session(made) as held:
            if not demo.is_empty(held):
                return "This shop has people or kit already; the demo shop was not added."
        from webapp.storage.history import begin_one, load_history  # it brings much along, and only a new shop needs it

        library = load(settings.procedures, settings.length_unit)
        with engine.writing(made) as held:
            demo.load(held, library.catalogue, datetime.now().astimezone().date())
        count = load_history(made, library, settings.photos, jobs=jobs, seed=seed)
        in_hand = in_hand and begin_one(made, library, settings.photos, count, datetime.now(UTC))
    return f"The demo shop is in {settings.data}, with {count} finished jobs{' and one in hand' if in_hand else ''}."
