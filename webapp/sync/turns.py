"""Batches take turns, so that a whole shop of phones that comes home at once does not keep a single tap waiting.

To judge a batch is work for the processor, and it holds the database meanwhile. So few are taken at the same time; some
more wait, and whoever finds too many waiting is told at once to come again: a thread that waits answers nobody else.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from threading import BoundedSemaphore

from webapp.core.errors import Unavailable

AT_WORK = 2  # while the one waits for the disk, the other is read and judged
WAITING = 14  # with those at work, half of a process's threads: the others answer taps

_at_work = BoundedSemaphore(AT_WORK)
_places = BoundedSemaphore(AT_WORK + WAITING)


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
