"""Over TLS at the shop's address: who trusts the shop's authority gets the worker, anybody else gets nothing."""

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Error, Page, Playwright, expect

from webapp import address
from webapp.certificates import ensure
from webapp.tls import now

from ..cast import ADA
from . import shop
from .kept import CONTROLLED
from .phone import begin
from .until import until

pytestmark = pytest.mark.browser

# The page asks the worker to bring work home when it is loaded; the shop then tells what it has heard of the phone.
TELLS = "([path, word]) => fetch(path).then((answer) => answer.text()).then((text) => text.includes(word))"
FETCHED = "path => fetch(path).then((answer) => answer.text())"
REGISTERED = """async () => {
  await navigator.serviceWorker.register("/sw.js", { scope: "/" });
  return (await navigator.serviceWorker.ready).active.scriptURL;
}"""


@pytest.fixture(scope="module")
def secure(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, str]]:
    """A shop on this machine's address in its network: its data folder, and where phones find it."""
    folder, port, host = tmp_path_factory.mktemp("secure"), shop.free_port(), own_address()
    more = {"HOST": host, "HTTPS_PORT": str(port)}
    with shop.serving(folder / "data", shop.quick_procedures(folder / "procedures"), **more):
        yield folder / "data", address.origin("https", host, port)


def own_address() -> str:
    """One that a browser does not hold to be safe by itself."""
    return next(one for one in address.own_addresses() if not address.is_local(one))


def trusting(playwright: Playwright, home: Path, root: Path | None) -> Browser:
    """A browser of somebody who trusts that authority, or none but the usual ones."""
    for folder in (home / ".pki/nssdb", home / ".local/share/pki/nssdb"):  # one of them, by the browser's version
        folder.mkdir(parents=True)
        at = ("-d", f"sql:{folder}")
        subprocess.run(["certutil", *at, "-N", "--empty-password"], check=True)
        if root:
            subprocess.run(["certutil", *at, "-A", "-t", "C,,", "-n", "shop", "-i", str(root)], check=True)
    return playwright.chromium.launch(executable_path=shop.CHROMIUM, args=shop.FLAGS, env={"HOME": str(home)})


def opened(browser: Browser, address: str) -> Page:
    page = browser.new_page()
    page.goto(address)
    return page


def test_the_worker_registers_where_the_shops_authority_is_trusted(
    playwright: Playwright, tmp_path: Path, secure: tuple[Path, str]
) -> None:
    data, origin = secure
    browser = trusting(playwright, tmp_path, data / "tls" / "root.pem")
    page = opened(browser, origin)
    assert page.evaluate("isSecureContext")
    assert page.evaluate(REGISTERED) == f"{origin}/sw.js"
    browser.close()


def test_a_phone_is_paired_over_https_and_the_shop_keeps_that_address(
    playwright: Playwright, tmp_path: Path, secure: tuple[Path, str]
) -> None:
    data, origin = secure
    browser = trusting(playwright, tmp_path, data / "tls" / "root.pem")
    page = browser.new_context(viewport=shop.PHONE, base_url=origin).new_page()
    page.set_default_timeout(20_000)
    begin(page, ADA)
    expect(page.locator(".plain-http")).to_have_count(0)
    page.goto("/phones")
    page.get_by_role("button", name="Make a code").click()
    code = page.locator("[data-code]").inner_text()
    page.get_by_role("link", name="Pair this phone").click()
    page.locator("[name=code]").fill(code)
    page.locator("[name=name]").fill("Phone of bay 1")
    page.get_by_role("button", name="Pair this phone").click()
    page.wait_for_url("**/")
    page.evaluate(CONTROLLED)
    assert address.kept(data) == origin

    (name,) = set(re.findall(r"/phones/(phone-[0-9a-f]+)", page.evaluate(FETCHED, "/phones")))
    version = page.evaluate(FETCHED, "/sw.js").split('"version": "')[1][:16]
    until(page, TELLS, [f"/phones/{name}", version])
    about = page.evaluate(FETCHED, f"/phones/{name}")
    assert origin in about
    browser.close()


@pytest.mark.parametrize("other", [False, True])
def test_a_browser_without_it_or_with_another_shops_opens_nothing(
    playwright: Playwright, tmp_path: Path, secure: tuple[Path, str], other: bool
) -> None:
    root = ensure(tmp_path / "other", ["shop.example"], now()).root if other else None
    browser = trusting(playwright, tmp_path / "home", root)
    with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
        opened(browser, secure[1])
    browser.close()
