"""What comes over the network when it is no whole answer: it is one that never came, and is asked for again."""

import socket
from threading import Thread

import pytest

from webapp.sync.line import line_to


@pytest.mark.parametrize(
    "said",
    [
        b"HTTP/1.1 200 OK\r\nContent-Length: 100\r\n\r\n{",
        b"HTTP/1.1 503 Service Unavailable\r\nContent-Length: 100\r\n\r\n{",
        b"HTTP/1.1 200 OK\r\nTransfer-Encoding: chunked\r\n\r\n40\r\n{",
        b"no answer of any server\r\n",
        b"HTTP/1.1 200 OK\r\n",
        b"",
    ],
)
def test_an_answer_that_is_cut_off_is_as_if_nobody_had_answered(said: bytes) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:

        def answer() -> None:
            held, _ = server.accept()
            with held:
                held.recv(65536)
                held.sendall(said)

        answering = Thread(target=answer)
        answering.start()
        exchange = line_to(f"http://127.0.0.1:{server.getsockname()[1]}")
        if said.endswith(b"OK\r\n"):  # headers that end too soon are headers all the same, and nothing comes with them
            assert exchange("GET", "/office/standing", {}, b"").body == b""
        else:
            with pytest.raises(OSError, match=r"\S"):
                exchange("GET", "/office/standing", {}, b"")
        answering.join()
