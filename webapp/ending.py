"""How the server's processes end: none of them outlives the one that began it, and each one that is told to end ends.

Python looks at a signal between two steps of its main thread. One that comes in the moment in which that thread begins
to wait is noted and not looked at, or waits for the lock that the thread itself holds just then; so does a second one
that comes right behind the first. A process would then serve on with nobody above it, hold the port, and keep its
neighbours, whose word of their parent's end is a pipe that it holds open, too. The byte that the system's own handler
writes is seen in any case.
"""

import os
import signal
from multiprocessing import Process, connection, parent_process
from threading import Thread
from time import sleep

ENDS = {signal.SIGINT, signal.SIGTERM}


def ends_within(seconds: float) -> None:
    """Let this process end so long after it was told to, if not before. For its main thread."""
    heard, told = os.pipe()
    os.set_blocking(told, False)
    signal.set_wakeup_fd(told, warn_on_full_buffer=False)
    Thread(target=_see_to_it, args=(heard, seconds), daemon=True).start()


def _see_to_it(heard: int, seconds: float) -> None:
    while os.read(heard, 1)[0] not in ENDS:
        pass
    sleep(seconds)  # for most this is the last that they do
    os._exit(1)


def begins_anew() -> None:
    """For a process that has just been forked: it ends when it is told to, until it knows of another way.

    The handler that it was forked with would only take note, and the byte would be read by the one it was forked from.
    A Ctrl-C reaches all processes of a terminal; it is for the first one, which then tells the others.
    """
    signal.set_wakeup_fd(-1)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})


def with_parent() -> None:
    """When the process that was started is killed, this one must not go on holding the port."""
    if parent := parent_process():
        Thread(target=_after, args=(parent.sentinel,), daemon=True).start()


def with_child(child: Process) -> None:
    """A shop whose phones find nobody must not look as if it served."""
    Thread(target=_after, args=(child.sentinel,), daemon=True).start()


def _after(sentinel: int) -> None:
    connection.wait([sentinel])
    os.kill(os.getpid(), signal.SIGTERM)


def stop(child: Process) -> None:
    """Have a child end, and wait for it."""
    child.terminate()
    child.join()
