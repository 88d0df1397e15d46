"""Twenty phones in one cheap process: raw sockets and a selector, since the client shares the server's cores."""

import heapq
import selectors
import socket
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import count
from time import perf_counter
from urllib.parse import urlencode

HEADERS_END = b"\r\n\r\n"


@dataclass(frozen=True)
class Tap:
    """One form as htmx sends it, and what the page that answers it must hold."""

    request: bytes
    expected: bytes


def tap(address: tuple[str, int], job: str, cookie: str, form: dict[str, str], expected: str) -> Tap:
    """The request that htmx makes of a step's form."""
    host, port = address
    body = urlencode(form)
    head = (
        f"POST /jobs/{job} HTTP/1.1",
        f"Host: {host}:{port}",
        f"Content-Length: {len(body)}",
        f"Cookie: {cookie}",
        f"HX-Current-URL: http://{host}:{port}/jobs/{job}",
        "HX-Request: true",
        "HX-Target: job",
        "Content-Type: application/x-www-form-urlencoded;charset=UTF-8",
        "User-Agent: Mozilla/5.0 (Linux; Android 14; K) AppleWebKit/537.36 (KHTML, like Gecko) Mobile Safari/537.36",
        "Accept: text/html",
        f"Origin: http://{host}:{port}",
        f"Referer: http://{host}:{port}/jobs/{job}",
        "Sec-Fetch-Site: same-origin",
        "Accept-Encoding: gzip, deflate",
        "Accept-Language: en",
    )
    return Tap("\r\n".join((*head, "", body)).encode(), expected.encode())


@dataclass
class Phone:
    """A phone with a kept connection, working through its taps one after another."""

    connection: socket.socket
    taps: Iterator[Tap]
    asked: Tap | None = None
    since: float = 0.0
    answer: bytearray = field(default_factory=bytearray)

    def send(self) -> bool:
        """Send the next tap; False where there is none left."""
        self.asked = next(self.taps, None)
        if self.asked is None:
            return False
        self.answer.clear()
        self.since = perf_counter()
        self.connection.sendall(self.asked.request)
        return True

    def receive(self) -> float | None:
        """Take what has come; the seconds that the tap took once its answer is whole, else None.

        Raises RuntimeError where the answer is not the page that has to follow.
        """
        part = self.connection.recv(65536)
        if not part:
            raise RuntimeError("the server closed the connection")
        self.answer += part
        end = self.answer.find(HEADERS_END)
        if end < 0 or len(self.answer) < end + len(HEADERS_END) + _length(self.answer[:end]):
            return None
        took = perf_counter() - self.since
        assert self.asked
        if not self.answer.startswith(b"HTTP/1.1 200") or self.asked.expected not in self.answer:
            raise RuntimeError(f"not the next page: {bytes(self.answer[:2000])!r}")
        return took


def _length(head: bytearray) -> int:
    for line in head.split(b"\r\n"):
        name, _, value = line.partition(b":")
        if name.lower() == b"content-length":
            return int(value)
    raise RuntimeError(f"no Content-Length: {bytes(head)!r}")


def connect(address: tuple[str, int], taps: Iterator[Tap]) -> Phone:
    made = socket.create_connection(address)
    made.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    return Phone(made, taps)


def closed_loop(phones: list[Phone], seconds: float) -> tuple[list[float], float]:
    """All phones tap as fast as they are answered, for so long; then the last answers are waited for.

    Return each tap's seconds, and the seconds that all of it took.
    """
    took: list[float] = []
    began = perf_counter()
    until = began + seconds
    with selectors.DefaultSelector() as waiting:
        for phone in phones:
            if phone.send():
                waiting.register(phone.connection, selectors.EVENT_READ, phone)
        while waiting.get_map():
            for key, _ in waiting.select():
                phone = key.data
                one = phone.receive()
                if one is None:
                    continue
                took.append(one)
                if perf_counter() >= until or not phone.send():
                    waiting.unregister(phone.connection)
    return took, perf_counter() - began


def paced(phones: list[Phone], think_s: Callable[[], float], enough: Callable[[], bool]) -> list[float]:
    """Each phone taps again so long after its last answer, as a hand does, until it is enough; each tap's seconds.

    The last answers are waited for.
    """
    took: list[float] = []
    turns = count()  # two phones may be due at once, and are not to be compared
    due = [(perf_counter() + think_s(), next(turns), phone) for phone in phones]
    heapq.heapify(due)
    with selectors.DefaultSelector() as waiting:
        while due or waiting.get_map():
            if enough():
                due.clear()
            while due and due[0][0] <= perf_counter():
                phone = heapq.heappop(due)[2]
                if phone.send():
                    waiting.register(phone.connection, selectors.EVENT_READ, phone)
            for key, _ in waiting.select(min(0.05, max(0.0, due[0][0] - perf_counter())) if due else 0.05):
                one = key.data.receive()
                if one is None:
                    continue
                took.append(one)
                waiting.unregister(key.data.connection)
                heapq.heappush(due, (perf_counter() + think_s(), next(turns), key.data))
    return took
