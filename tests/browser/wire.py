"""The network between phones and shop: a relay that is cut, holds bytes back, or breaks off in the middle of a body.

A browser's own offline switch does not reach a worker that it starts later.
"""

import socket
import struct
from collections.abc import Callable
from contextlib import suppress
from threading import Condition, Thread

# Closing then sends a reset: what was on its way is lost, and neither side takes it for a proper end.
AT_ONCE = struct.pack("ii", 1, 0)
PIECE_BYTES = 65_536


class Wire:
    """Phones reach the shop at `port`, whatever becomes of the server behind it."""

    def __init__(self, to_port: int) -> None:
        self.to_port, self.passed_bytes = to_port, 0
        self._pairs: set[Pair] = set()
        self._is_up, self._is_held = True, False
        self._left_bytes, self._deeds = 0, 0
        self._then: Callable[[], None] | None = None
        self._changed = Condition()
        self._door = socket.create_server(("127.0.0.1", 0), backlog=64)
        self.port = int(self._door.getsockname()[1])
        Thread(target=self._accept, daemon=True).start()

    @property
    def address(self) -> str:
        """Where phones find the shop."""
        return f"http://127.0.0.1:{self.port}"

    def cut(self) -> None:
        """Nothing passes any more, in the middle of whatever was passing; nobody gets through."""
        with self._changed:
            self._is_up = False
        self.break_off()

    def break_off(self) -> None:
        """Every connection ends here and now; the next one gets through."""
        with self._changed:
            for pair in self._pairs:
                pair.break_off()
            self._pairs.clear()
            self._changed.notify_all()

    def hold(self) -> None:
        """Bytes are taken and do not arrive, nor does an end, until the wire is healed: then they do, late."""
        with self._changed:
            self._is_held = True

    def heal(self) -> None:
        """All passes again. A deed that is under way is waited for: it would be done after all is mended."""
        with self._changed:
            self._is_up, self._is_held, self._then = True, False, None
            self._changed.notify_all()
            self._changed.wait_for(lambda: not self._deeds)

    def after(self, more_bytes: int, then: Callable[[], None]) -> None:
        """Do that once so many more bytes have passed, before the next one does."""
        with self._changed:
            self._left_bytes, self._then = more_bytes, then

    def close(self) -> None:
        with suppress(OSError):
            self._door.shutdown(socket.SHUT_RDWR)  # wakes the thread that waits for phones
        self._door.close()
        self.cut()

    def _accept(self) -> None:
        while True:
            try:
                phone, _address = self._door.accept()
            except OSError:
                return  # the round of tests is over
            Thread(target=self._join, args=(phone,), daemon=True).start()

    def _join(self, phone: socket.socket) -> None:
        with self._changed:
            is_up = self._is_up
        try:
            if not is_up:
                raise ConnectionRefusedError
            pair = Pair(phone, socket.create_connection(("127.0.0.1", self.to_port)))
        except OSError:
            reset(phone)
            return
        with self._changed:
            self._pairs.add(pair)
        back = Thread(target=self._pump, args=(pair, pair.shop, phone), daemon=True)
        back.start()
        self._pump(pair, phone, pair.shop)
        back.join()
        with self._changed:
            self._pairs.discard(pair)
        phone.close()
        pair.shop.close()

    def _pump(self, pair: "Pair", source: socket.socket, sink: socket.socket) -> None:
        try:
            while data := source.recv(PIECE_BYTES):
                self._pass_on(pair, data, sink)
            with self._changed:
                self._changed.wait_for(lambda: not self._is_held or pair.is_broken)
            sink.shutdown(socket.SHUT_WR)  # a proper end, passed on as one
        except OSError:
            pair.break_off()  # cut, or one of the two sides was killed

    def _pass_on(self, pair: "Pair", data: bytes, sink: socket.socket) -> None:
        while data:
            with self._changed:
                self._changed.wait_for(lambda: not self._is_held or pair.is_broken)
                now, then = data, None
                if self._then and len(data) >= self._left_bytes:
                    now, then, self._then = data[: self._left_bytes], self._then, None
                    self._deeds += 1
                self._left_bytes -= len(now)
                self.passed_bytes += len(now)
            data = data[len(now) :]
            try:
                sink.sendall(now)
                if then:
                    then()
            finally:
                if then:
                    self._has_done()

    def _has_done(self) -> None:
        with self._changed:
            self._deeds -= 1
            self._changed.notify_all()


class Pair:
    """A phone's connection and the one to the shop that stands for it."""

    def __init__(self, phone: socket.socket, shop: socket.socket) -> None:
        self.phone, self.shop = phone, shop
        self.is_broken = False

    def break_off(self) -> None:
        self.is_broken = True
        reset(self.phone)
        reset(self.shop)


def reset(end: socket.socket) -> None:
    try:
        end.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, AT_ONCE)
        end.shutdown(socket.SHUT_RDWR)  # wakes the thread that reads from it
    except OSError:
        pass  # it had ended already
    end.close()
