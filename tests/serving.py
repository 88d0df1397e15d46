"""`baybook serve` as a process, seen by somebody at its terminal and somebody in its network."""

import os
import socket
import ssl
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from cryptography import x509

PATIENCE_S = 60


class Shop:
    """A served shop, as somebody at its terminal and somebody in its network see it."""

    def __init__(self, process: subprocess.Popen[str], data: Path, port: int, https_port: int) -> None:
        self.process, self.data, self.port, self.https_port = process, data, port, https_port
        self.said: list[str] = []

    @property
    def root(self) -> Path:
        return self.data / "tls" / "root.pem"

    def get(self, path: str = "/", root: Path | None = None) -> tuple[int, dict[str, str]]:
        """Ask over https, trusting that root, or the shop's own."""
        trusting = ssl.create_default_context(cafile=root or self.root)
        with urllib.request.urlopen(f"https://127.0.0.1:{self.https_port}{path}", context=trusting) as answer:
            return answer.status, dict(answer.headers)

    def leaf(self) -> x509.Certificate:
        """The certificate that is served with now."""
        return x509.load_pem_x509_certificate(ssl.get_server_certificate(("127.0.0.1", self.https_port)).encode())

    def children(self, of: int | None = None) -> list[int]:
        pid = of or self.process.pid
        return [int(one) for one in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]

    def https_master(self) -> int:
        until(lambda: any(map(self.children, self.children())))
        (found,) = (one for one in self.children() if self.children(one))
        return found


def until(true: Callable[[], bool]) -> None:
    """Wait for it."""
    ends = time.monotonic() + PATIENCE_S
    while not true():
        assert time.monotonic() < ends
        time.sleep(0.02)


def two_free_ports() -> tuple[int, int]:
    """Two that differ: one that was asked for and given back may be the next as well."""
    with socket.socket() as first, socket.socket() as second:
        for probe in (first, second):
            probe.bind(("127.0.0.1", 0))
        return int(first.getsockname()[1]), int(second.getsockname()[1])


@contextmanager
def served(data: Path, **more: str) -> Iterator[Shop]:
    port, https_port = two_free_ports()
    env = {**os.environ, "DATA": str(data), "PORT": str(port), "HTTPS_PORT": str(https_port), "HOST": "127.0.0.1"}
    command = [sys.executable, "-m", "webapp.cli", "serve"]
    with subprocess.Popen(command, env=env | more, stdout=subprocess.PIPE, text=True) as process:
        shop = Shop(process, data, port, https_port)
        assert process.stdout is not None
        for line in process.stdout:
            shop.said.append(line)
            if line.startswith("Baybook serves"):
                break
        else:
            raise AssertionError(f"the server ended with status {process.wait()}")
        try:
            yield shop
        finally:
            process.terminate()
            shop.said += process.stdout.readlines()
