"""A real server in a process of its own, and a real browser: what the browser tests start from."""

import os
import re
import shutil
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from webapp.paths import PROCEDURES
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import session
from webapp.storage.kit import kit as kit_of

from .phone import Phone

CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
PHONE = {"width": 390, "height": 844}


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture(scope="session")
def quick_procedures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The library that ships, with every wait cut to two seconds: the countdown is tested, not the patience."""
    folder = tmp_path_factory.mktemp("library") / "procedures"
    shutil.copytree(PROCEDURES, folder)
    for path in folder.rglob("*.yaml"):
        path.write_text(re.sub(r"(?m)^(\s+wait:) .*$", r"\1 2 s", path.read_text()))
    return folder


@pytest.fixture(scope="session")
def shop_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("shop")


@pytest.fixture(scope="session")
def server(shop_folder: Path, quick_procedures: Path) -> Iterator[str]:
    """The demo shop without a history, served; its address."""
    yield from serving(shop_folder, quick_procedures)


def serving(data: Path, procedures: Path, *options: str) -> Iterator[str]:
    """Serve a data folder until the test is over. The server says when it is ready."""
    port = free_port()
    env = {**os.environ, "DATA": str(data), "PORT": str(port), "HOST": "127.0.0.1", "PROCEDURES": str(procedures)}
    baybook = [sys.executable, "-m", "webapp.cli"]
    subprocess.run([*baybook, "demo", "--jobs", "0"], env=env, check=True, capture_output=True)
    with subprocess.Popen([*baybook, "serve", *options], env=env, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        for line in process.stdout:
            if "Baybook serves" in line:
                break
        else:
            raise AssertionError(f"the server ended with status {process.wait()}")
        try:
            yield f"http://127.0.0.1:{port}"
        finally:
            process.terminate()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture
def page(chromium: Browser, server: str) -> Iterator[Page]:
    """A phone's browser on the shop's pages. An error in a script, or a refusal by the content policy, fails the test."""
    context = chromium.new_context(viewport=PHONE, base_url=server, locale="en-GB")
    context.set_default_timeout(15_000)
    opened = context.new_page()
    troubles: list[str] = []
    opened.on("pageerror", lambda error: troubles.append(str(error)))
    opened.on("console", lambda said: troubles.append(said.text) if "Content Security Policy" in said.text else None)
    yield opened
    context.close()
    assert troubles == []


@pytest.fixture(scope="session")
def kit(server: str, shop_folder: Path) -> dict[str, Any]:
    """The demo shop's kit, as the server that is running has it."""
    made = engine_for(f"sqlite:///{shop_folder / 'baybook.db'}")
    with session(made) as db:
        held = kit_of(db)
    made.dispose()
    return held


@pytest.fixture(scope="session")
def photo(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A picture as a phone's camera might make it."""
    path = tmp_path_factory.mktemp("photo") / "stand.jpg"
    Image.effect_noise((1600, 1200), 60).convert("RGB").save(path, quality=80)
    return str(path)


@pytest.fixture
def phone(page: Page, kit: dict[str, Any], photo: str) -> Phone:
    return Phone(page, kit, photo)
