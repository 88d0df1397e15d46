"""The shop's network as a phone meets it: while it is cut, nobody gets through, whatever part of the browser asks.

A browser's own offline switch does not reach a worker that it starts later.
"""

import socket
from contextlib import suppress
from threading import Lock, Thread

PIECE_BYTES = 65_536


class Relay:
    """Phones reach the shop at `port`; `cut` and `heal` as often as wanted."""

    def __init__(self, to_port: int) -> None:
        self.to_port, self.port = to_port, 0
        self._open: set[socket.socket] = set()
        self._lock = Lock()
        self._is_up = False
        self.heal()

    def heal(self) -> None:
        self._door = socket.create_server(("127.0.0.1", self.port), backlog=64)
        self.port = int(self._door.getsockname()[1])
        self._is_up = True
        Thread(target=self._accept, args=(self._door,), daemon=True).start()

    def cut(self) -> None:
        """Connections end at once, in the middle of whatever was passing."""
        with self._lock:
            self._is_up = False
            ends, self._open = [self._door, *self._open], set()
        for end in ends:
            with suppress(OSError):
                end.shutdown(socket.SHUT_RDWR)  # wakes the thread that waits for it
            end.close()

    def _accept(self, door: socket.socket) -> None:
        with suppress(OSError):
            while True:
                phone, _address = door.accept()
                shop = socket.create_connection(("127.0.0.1", self.to_port))
                with self._lock:
                    if not self._is_up:
                        return
                    self._open |= {phone, shop}
                for source, sink in ((phone, shop), (shop, phone)):
                    Thread(target=self._pump, args=(source, sink), daemon=True).start()

    def _pump(self, source: socket.socket, sink: socket.socket) -> None:
        with suppress(OSError):
            while data := source.recv(PIECE_BYTES):
                sink.sendall(data)
            sink.shutdown(socket.SHUT_WR)
