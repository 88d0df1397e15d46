"""The server's processes: http and https beside each other, what the terminal says, and how all of it ends."""

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import urllib.request
from datetime import date, timedelta
from pathlib import Path

import pytest
from sqlalchemy import Engine

from tests.browser.shop import free_port
from tests.serving import PATIENCE_S, Shop, served, until
from webapp import address, certificates, tls
from webapp.config import Settings, settings
from webapp.core.errors import BadInput
from webapp.core.procedure import Library
from webapp.greeting import first_code, greeting, warnings
from webapp.serve import PROCESSES, fill_demo
from webapp.storage import demo, devices
from webapp.storage.engine import writing


def renew(shop: Shop) -> None:
    """Have the certificate looked at, as the clock does once an hour, and wait until none serves with the old one."""
    master = shop.https_master()
    until(lambda: len(shop.children(master)) == PROCESSES)  # some may only be starting
    before = set(shop.children(master))
    os.kill(master, signal.SIGALRM)
    until(lambda: len(now := shop.children(master)) == PROCESSES and not before & set(now))


def is_free(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) != 0


def paired(engine: Engine, origin: str, name: str) -> None:
    """A phone that was paired there."""
    with writing(engine) as db:
        code = devices.make_code(db, "DH6RM4", "2026-03-02T08:00:00.000Z")
        key = {"kty": "EC", "crv": "P-256", "x": POINT[0], "y": POINT[1]}
        devices.pair(db, code, key, name, "2026-03-02T08:00:00.000Z", None, origin)


POINT = ("MKBCTNIcKUSDii11ySs3526iDZ8AiTo7Tu6KPAqv7D4", "4Etl6SRW2YiLUrN5vfvVHuhp7x8PxltmWWlbbM4IFyM")
"""The public key of an example in the standard for JSON Web Keys (RFC 7517, appendix A.1)."""


def test_https_is_served_beside_http_under_the_shops_own_authority(tmp_path: Path) -> None:
    with served(tmp_path) as shop:
        status, headers = shop.get()
        assert (status, "Strict-Transport-Security" in headers) == (200, False)
        with urllib.request.urlopen(f"http://127.0.0.1:{shop.port}/") as answer:
            assert answer.status == 200
        with pytest.raises(urllib.error.URLError, match="CERTIFICATE_VERIFY_FAILED"):
            shop.get(root=other_root(tmp_path))
        assert {"127.0.0.1", "localhost", *address.own_addresses()} <= set(certificates.names_in(shop.leaf()))
        before = certificates.fingerprint(shop.root)
    assert is_free(shop.port)
    assert is_free(shop.https_port)
    assert before in "".join(shop.said)
    assert f"https://127.0.0.1:{shop.https_port}/" in "".join(shop.said)
    with served(tmp_path) as again:
        assert certificates.fingerprint(again.root) == before


def other_root(folder: Path) -> Path:
    return certificates.ensure(folder / "other", ["127.0.0.1"], tls.now()).root


def test_the_certificate_is_renewed_while_it_serves(tmp_path: Path) -> None:
    with served(tmp_path) as shop:
        names = address.names(settings({}, data=tmp_path, host="127.0.0.1"))
        old = tls.now() - timedelta(days=certificates.LEAF_DAYS - certificates.RENEW_BEFORE_DAYS + 1)
        aged = shutil.copytree(tmp_path / "tls", tmp_path / "aged", ignore=shutil.ignore_patterns("server.*"))
        certificates.ensure(aged, names, old)  # as if the one that is served were to end in 59 days
        for name in ("server.key", "server.pem"):  # replaced, and not removed: a process may only be starting
            (aged / name).replace(tmp_path / "tls" / name)
        renew(shop)
        assert shop.leaf().not_valid_after_utc - tls.now() > timedelta(days=certificates.LEAF_DAYS - 2)
        assert shop.get()[0] == 200


def test_the_shops_own_files_are_served_and_replaced_ones_too(tmp_path: Path) -> None:
    own = certificates.ensure(tmp_path / "own", ["127.0.0.1"], tls.now())
    with served(tmp_path / "data", TLS_CERT=str(own.chain), TLS_KEY=str(own.key)) as shop:
        assert shop.get(root=own.root)[0] == 200
        assert not (tmp_path / "data" / "tls").exists()
        key = own.key.read_bytes()
        own.key.write_text("half of a new key")
        os.kill(shop.https_master(), signal.SIGALRM)
        assert shop.process.stdout
        assert any(line.startswith("Baybook keeps its old certificate") for line in shop.process.stdout)
        assert shop.get(root=own.root)[0] == 200
        own.key.write_bytes(key)
        certificates.ensure(tmp_path / "own", ["127.0.0.1", "new.example"], tls.now())
        renew(shop)
        assert "new.example" in certificates.names_in(shop.leaf())


def test_without_an_https_port_plain_http_is_served_alone(tmp_path: Path) -> None:
    with served(tmp_path, HTTPS_PORT="0") as shop:
        assert all(not shop.children(one) for one in shop.children())
        assert not (tmp_path / "tls").exists()
        assert "https:" not in "".join(shop.said)


@pytest.mark.parametrize("which", ["main", "https"])
def test_a_killed_process_leaves_no_half_of_the_server_behind(tmp_path: Path, which: str) -> None:
    with served(tmp_path) as shop:
        os.kill(shop.process.pid if which == "main" else shop.https_master(), signal.SIGKILL)
        until(lambda: shop.process.poll() is not None and is_free(shop.port) and is_free(shop.https_port))


DEAF = """
import signal, sys, threading
from webapp import ending
signal.signal(signal.SIGTERM, lambda *_: None)
ending.ends_within(float(sys.argv[1]))
print("here", flush=True)
threading.Event().wait()
"""
"""A process that takes no notice when it is told to end, as one does whose signal came when it was about to wait."""


def test_a_process_that_does_not_hear_that_it_is_to_end_ends_all_the_same() -> None:
    with subprocess.Popen([sys.executable, "-c", DEAF, "0.2"], stdout=subprocess.PIPE, text=True) as deaf:
        assert deaf.stdout is not None
        assert deaf.stdout.readline() == "here\n"
        deaf.terminate()
        try:
            assert deaf.wait(PATIENCE_S) == 1
        finally:
            deaf.kill()


def test_the_demo_shop_that_is_served_has_a_job_to_go_on_with(shop: Settings) -> None:
    assert fill_demo(shop, 2, 1, in_hand=True).endswith("with 2 finished jobs and one in hand.")
    assert "was not added" in fill_demo(shop, 2, 1, in_hand=True)


def test_ctrl_c_is_for_the_first_process_which_tells_the_others(tmp_path: Path) -> None:
    """They would be told twice at once, and a process that is told so hears neither."""
    with served(tmp_path) as shop:
        master = shop.https_master()
        until(lambda: len(shop.children()) == PROCESSES + 1 and len(shop.children(master)) == PROCESSES)
        others = [*shop.children(), *shop.children(master)]
        until(lambda: all(blocks(one, signal.SIGINT) for one in others))  # some may only be starting
        assert not blocks(shop.process.pid, signal.SIGINT)
        shop.process.send_signal(signal.SIGINT)
        assert shop.process.wait(PATIENCE_S) == 0
    assert not any(Path(f"/proc/{one}").exists() for one in others)


def blocks(pid: int, which: signal.Signals) -> bool:
    (mask,) = re.findall(r"^SigBlk:\s*(\w+)$", Path(f"/proc/{pid}/status").read_text(), re.MULTILINE)
    return bool(int(mask, 16) >> (which - 1) & 1)


def test_a_port_in_use_is_named(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        env = {**os.environ, "DATA": str(tmp_path), "PORT": str(free_port()), "HTTPS_PORT": str(port)}
        command = [sys.executable, "-m", "webapp.cli", "serve", "--host", "127.0.0.1"]
        ran = subprocess.run(command, env=env, capture_output=True, text=True, check=False)
    assert (ran.returncode, f"HTTPS_PORT={port} on 127.0.0.1 cannot be used" in ran.stderr) == (2, True)


def test_another_address_warns_whom_it_strands_and_is_not_kept(shop: Settings, engine: Engine) -> None:
    paired(engine, "https://shop.example:8443", "Phone of bay 1")
    paired(engine, "http://127.0.0.1:8080", "The workshop's own browser")
    address.keep(shop.data, "https://shop.example:8443")
    assert warnings(settings({}, data=shop.data), engine) == []
    (warned,) = warnings(settings({"ADDRESS": "new.example"}, data=shop.data), engine)
    assert all(word in warned for word in ("Phone of bay 1", "https://shop.example:8443", "https://new.example:8443"))
    assert "own browser" not in warned
    (warned,) = warnings(settings({"HTTPS_PORT": "9443"}, data=shop.data), engine)
    assert "this start uses https://shop.example:9443" in warned
    assert address.kept(shop.data) == "https://shop.example:8443"


def test_an_address_that_strands_nobody_is_kept(shop: Settings, engine: Engine) -> None:
    assert warnings(settings({"ADDRESS": "shop.example"}, data=shop.data), engine) == []
    assert address.kept(shop.data) == "https://shop.example:8443"
    assert "https://shop.example:8443/" in greeting(later := settings({}, data=shop.data))
    assert "shop.example" in address.names(later)


def test_the_terminal_tells_the_first_code_of_a_shop_that_nobody_can_sign_for(
    shop: Settings, engine: Engine, library: Library
) -> None:
    (told,) = first_code(shop, engine)
    assert (shop.data / "first-code").read_text() in told
    assert first_code(shop, engine) == [told]
    with writing(engine) as db:
        demo.load(db, library.catalogue, date(2026, 3, 2))
    assert first_code(shop, engine) == []


def test_the_first_phone_that_is_paired_over_https_decides_the_address(shop: Settings) -> None:
    for origin in (
        "http://192.168.1.20:8080",
        "https://127.0.0.1:8443",
        "https://192.168.1.20:8443",
        "https://b.example",
    ):
        address.keep_first(shop.data, origin)
    assert address.kept(shop.data) == "https://192.168.1.20:8443"
    assert address.address_of(settings({}, data=shop.data)).secure == "https://192.168.1.20:8443"


def test_an_address_that_this_machine_has_lost_is_told(shop: Settings, engine: Engine) -> None:
    (warned,) = warnings(settings({"ADDRESS": "203.0.113.9"}, data=shop.data), engine)
    assert "203.0.113.9 is none of this machine's (" in warned


def test_a_proxy_gives_phones_its_own_port(shop: Settings) -> None:
    made = settings({"ADDRESS": "shop.example:443", "HTTPS_PORT": "0"}, data=shop.data)
    assert address.address_of(made).secure == "https://shop.example"


@pytest.fixture
def own(tmp_path: Path) -> certificates.Files:
    return certificates.ensure(tmp_path / "own", ["shop.example"], tls.now())


def test_own_files_that_do_not_belong_together_are_refused(tmp_path: Path, own: certificates.Files) -> None:
    other = certificates.ensure(tmp_path / "more", ["shop.example"], tls.now())
    made = settings({"TLS_CERT": str(own.chain), "TLS_KEY": str(other.key)}, data=tmp_path)
    with pytest.raises(BadInput, match="cannot be served with") as refused:
        tls.serving(made, tls.now())
    assert refused.value.field == "TLS_CERT"


def test_own_files_are_checked_for_name_and_end(tmp_path: Path, own: certificates.Files) -> None:
    def told(host: str, days: int = 0) -> list[str]:
        said = {"TLS_CERT": str(own.chain), "TLS_KEY": str(own.key), "ADDRESS": host}
        made: Settings = settings(said, data=tmp_path / "data")
        return tls.trouble(made, tls.now() + timedelta(days=days))

    assert told("shop.example") == []
    assert told("other.example")[0].index("does not name the shop's address other.example")
    assert told("shop.example", days=380)[0].index("ends in 16 days")
