"""The shop's own certificate authority: a root that phones are told to trust, and the server's certificate under it.

Both are made on the first start and lie in DATA/tls, their keys readable by the server's user alone. The server's
certificate names every address that a phone may use, and is renewed by itself well before it ends; the root stays,
since
every phone of the shop had to be told to trust it.
"""

import ipaddress
import os
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

ROOT_DAYS = 3650
LEAF_DAYS = 397
"""Phones refuse a server's certificate that lasts longer than 825 days; a year and a month leaves room below any
limit.
"""
RENEW_BEFORE_DAYS = 60
BACKDATED = timedelta(days=1)
"""A phone whose clock is a little behind would otherwise find the new certificate not yet valid."""

Key = ec.EllipticCurvePrivateKey


@dataclass(frozen=True)
class Files:
    """Where the certificates lie: `chain` and `key` are what the server serves with, `root` is what a phone is
    given.
    """

    root: Path
    chain: Path
    key: Path


def ensure(folder: Path, names: Sequence[str], now: datetime) -> Files:
    """Make what is missing, renew what ends soon or lacks one of these names (host names or addresses); return
    the files.

    `now` is an aware datetime.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    files = Files(folder / "root.pem", folder / "server.pem", folder / "server.key")
    root, root_key = _root(files.root, folder / "root.key", now)
    if not _serves(files, names, now):
        key = ec.generate_private_key(ec.SECP256R1())
        leaf = _leaf(root, root_key, key, names, now)
        _write(files.key, _pem_of_key(key), secret=True)
        _write(files.chain, leaf.public_bytes(serialization.Encoding.PEM))
    return files


def names_in(certificate: x509.Certificate) -> list[str]:
    """The host names and addresses that a certificate is for."""
    san = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    addresses = [str(address) for address in san.get_values_for_type(x509.IPAddress)]
    return [*san.get_values_for_type(x509.DNSName), *addresses]


def fingerprint(path: Path) -> str:
    """The certificate's SHA-256 in pairs, as a phone shows it, so that a person can compare."""
    digest = _read(path).fingerprint(hashes.SHA256()).hex().upper()
    return " ".join(digest[at : at + 2] for at in range(0, len(digest), 2))


def _root(path: Path, key_path: Path, now: datetime) -> tuple[x509.Certificate, Key]:
    if path.exists() and key_path.exists():
        key = serialization.load_pem_private_key(key_path.read_bytes(), None)
        if isinstance(key, ec.EllipticCurvePrivateKey):
            return _read(path), key
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Baybook shop authority {now:%Y-%m-%d}")])
    root = (
        _begun(name, name, key, now, ROOT_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .sign(key, hashes.SHA256())
    )
    _write(key_path, _pem_of_key(key), secret=True)
    _write(path, root.public_bytes(serialization.Encoding.PEM))
    return root, key


def _leaf(root: x509.Certificate, root_key: Key, key: Key, names: Sequence[str], now: datetime) -> x509.Certificate:
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, names[0][:64])])
    return (
        _begun(subject, root.subject, key, now, LEAF_DAYS)
        .add_extension(x509.SubjectAlternativeName([_general(name) for name in names]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(root_key.public_key()), critical=False)
        .sign(root_key, hashes.SHA256())
    )


def _begun(subject: x509.Name, issuer: x509.Name, key: Key, now: datetime, days: int) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - BACKDATED)
        .not_valid_after(now + timedelta(days=days))
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _general(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ipaddress.ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def _serves(files: Files, names: Sequence[str], now: datetime) -> bool:
    """Whether the server's certificate is there, was made under this root, names all of these and does not end soon."""
    if not (files.chain.exists() and files.key.exists()):
        return False
    leaf, root = _read(files.chain), _read(files.root)
    if leaf.issuer != root.subject or not set(names) <= set(names_in(leaf)):
        return False
    return leaf.not_valid_after_utc > now + timedelta(days=RENEW_BEFORE_DAYS)


def _read(path: Path) -> x509.Certificate:
    return x509.load_pem_x509_certificate(path.read_bytes())


def _pem_of_key(key: Key) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )


def _write(path: Path, data: bytes, *, secret: bool = False) -> None:
    """Write a file whole or not at all; a secret one is never readable by others, not even for a moment."""
    new = path.with_suffix(path.suffix + ".new")
    new.unlink(missing_ok=True)
    with os.fdopen(os.open(new, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600 if secret else 0o644), "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    new.replace(path)
