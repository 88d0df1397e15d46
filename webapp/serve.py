"""Serving: the WSGI server, the address in the terminal, the demo shop."""

import socket
from datetime import datetime
from io import StringIO

import qrcode
from cheroot.wsgi import Server

from webapp import create_app
from webapp.config import Settings
from webapp.library.load import load
from webapp.storage import demo, engine, history
from webapp.storage.migrate import upgrade

THREADS = 24
HISTORY_JOBS = 40


def run(settings: Settings, with_demo: bool) -> None:
    """Serve until it is told to stop."""
    if with_demo:
        fill_demo(settings, HISTORY_JOBS, 1)
    app = create_app(settings)
    server = Server((settings.host, settings.port), app, numthreads=THREADS, server_name="baybook")
    server.prepare()
    print(greeting(settings), flush=True)  # noqa: T201 - the person who started it reads this
    try:
        server.serve()
    except KeyboardInterrupt:
        pass
    finally:
        server.stop()


def fill_demo(settings: Settings, jobs: int, seed: int) -> str:
    """Fill an empty shop; one that has anybody or anything is left alone. Return what was done, in a sentence."""
    made = engine.engine(settings.database_url)
    upgrade(made)
    library = load(settings.procedures)
    with engine.writing(made) as held:
        filled = demo.load(held, library.catalogue, datetime.now().astimezone().date())
    if not filled:
        return "This shop has people or kit already; the demo shop was not added."
    count = history.load_history(made, library, settings.photos, jobs=jobs, seed=seed)
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
