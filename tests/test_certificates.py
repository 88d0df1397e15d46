"""The shop's own certificates: what a phone asks of them, when they are renewed, and a real handshake."""

import socket
import ssl
import stat
import threading
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.x509.oid import ExtendedKeyUsageOID

from webapp.certificates import ensure, fingerprint, names_in

NOW = datetime(2026, 3, 2, tzinfo=UTC)
NAMES = ("baybook.shop.example", "192.168.1.20", "127.0.0.1")


def certificate(path: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate(path.read_bytes())


def test_the_servers_certificate_is_one_that_phones_accept(tmp_path: Path) -> None:
    files = ensure(tmp_path, NAMES, NOW)
    leaf, root = certificate(files.chain), certificate(files.root)
    assert sorted(names_in(leaf)) == sorted(NAMES)
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= timedelta(days=800)
    usage = leaf.extensions.get_extension_for_class(x509.ExtendedKeyUsage).value
    assert list(usage) == [ExtendedKeyUsageOID.SERVER_AUTH]
    leaf.verify_directly_issued_by(root)
    assert root.extensions.get_extension_for_class(x509.BasicConstraints).value.ca


def test_nobody_else_can_read_the_keys(tmp_path: Path) -> None:
    files = ensure(tmp_path / "tls", NAMES, NOW)
    for path in (files.key, files.root.with_name("root.key")):
        assert stat.S_IMODE(path.stat().st_mode) == 0o600


def test_asking_again_changes_nothing(tmp_path: Path) -> None:
    ensure(tmp_path, NAMES, NOW)
    kept = {path: path.read_bytes() for path in tmp_path.iterdir()}
    ensure(tmp_path, NAMES[:2], NOW + timedelta(days=200))
    assert {path: path.read_bytes() for path in tmp_path.iterdir()} == kept


@pytest.mark.parametrize(
    ("later", "names"), [(timedelta(days=340), NAMES), (timedelta(days=1), (*NAMES, "192.168.1.99"))]
)
def test_it_is_renewed_before_it_ends_and_for_a_new_name_under_the_same_root(
    tmp_path: Path, later: timedelta, names: tuple[str, ...]
) -> None:
    files = ensure(tmp_path, NAMES, NOW)
    root, leaf = fingerprint(files.root), fingerprint(files.chain)
    ensure(tmp_path, names, NOW + later)
    assert fingerprint(files.root) == root
    assert fingerprint(files.chain) != leaf
    assert set(names) <= set(names_in(certificate(files.chain)))


def test_a_client_that_trusts_the_root_shakes_hands_and_one_that_does_not_refuses(tmp_path: Path) -> None:
    files = ensure(tmp_path, NAMES, datetime.now(UTC))
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(files.chain, files.key)
    with socket.create_server(("127.0.0.1", 0)) as listening:

        def answer() -> None:
            for _ in range(2):
                connection, _peer = listening.accept()
                with connection:
                    try:
                        serving.wrap_socket(connection, server_side=True).close()
                    except (ssl.SSLError, OSError):
                        continue

        server = threading.Thread(target=answer)
        server.start()
        trusting, strange = ssl.create_default_context(cafile=files.root), ssl.create_default_context()
        with (
            socket.create_connection(listening.getsockname()) as plain,
            trusting.wrap_socket(plain, server_hostname="127.0.0.1") as secured,
        ):
            assert secured.version() == "TLSv1.3"
        with (
            socket.create_connection(listening.getsockname()) as plain,
            pytest.raises(ssl.SSLCertVerificationError),
        ):
            strange.wrap_socket(plain, server_hostname="127.0.0.1")
        server.join()
