"""The relay that stands for the network: what was begun on it has ended when it is healed."""

import socket
from threading import Event

import pytest

from .wire import Wire

pytestmark = pytest.mark.browser
PATIENCE_S = 30


def test_a_deed_that_is_under_way_is_waited_for_before_the_network_is_healed() -> None:
    begun, done = Event(), list[str]()

    def deed() -> None:
        wire.hold()
        begun.set()
        with wire._changed:  # so that it ends only once the healing has begun
            wire._changed.wait_for(lambda: not wire._is_held, PATIENCE_S)
        done.append("deed")

    with socket.create_server(("127.0.0.1", 0)) as shop:
        wire = Wire(shop.getsockname()[1])
        wire.after(1, deed)
        with socket.create_connection(("127.0.0.1", wire.port)) as phone:
            phone.sendall(b"x")
            assert begun.wait(PATIENCE_S)
            wire.heal()
            assert done == ["deed"]
        wire.close()
