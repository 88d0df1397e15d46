"""Batches take turns, so that a whole shop of phones that comes home at once does not keep a single tap waiting.

To judge a batch is work for the processor, of which Python does one thing at a time. So each process takes one, and
meanwhile the others judge theirs: two in one process would only hold each other up, and with them the database. Some
more wait, and whoever finds too many waiting is told at once to come again: a thread that waits answers nobody else.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import BoundedSemaphore, Lock

from webapp.core.errors import Unavailable

PLACES = 16  # the one at work and those that wait: half of a process's threads, the others answer taps

_at_work = Lock()
_places = BoundedSemaphore(PLACES)


@contextmanager
def turn() -> Iterator[None]:
    """This batch's turn. Raises Unavailable (`sync-busy`) where too many wait for theirs."""
    if not _places.acquire(blocking=False):
        what = "Many phones are sending at this moment. Nothing was kept; the same batch may come again in a second"
        raise Unavailable("sync-busy", "", what)
    try:
        with _at_work:
            yield
    finally:
        _places.release()
