"""A real server with the demo shop, a network that can be cut, and each engine in turn."""

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from ..browser import shop
from ..browser.wire import Wire
from .engines import ENGINES
from .technician import Technician


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("shop")


@pytest.fixture(scope="session")
def server(folder: Path) -> Iterator[str]:
    with shop.serving(folder, shop.quick_procedures(folder / "procedures")) as address:
        yield address


@pytest.fixture
def network(server: str) -> Iterator[Wire]:
    wire = Wire(urlsplit(server).port or 0)
    yield wire
    wire.close()


@pytest.fixture(params=ENGINES)
def technician(request: pytest.FixtureRequest, network: Wire, folder: Path, tmp_path: Path) -> Iterator[Technician]:
    with ENGINES[request.param]() as driver:
        yield Technician(driver, f"http://127.0.0.1:{network.port}", shop.kit(folder), shop.photo(tmp_path))
