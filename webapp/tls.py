"""What https is served with: the shop's own certificate files by two settings, else those of its own authority."""

import ssl
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from cryptography import x509

from webapp import address, certificates
from webapp.config import Settings
from webapp.core.errors import BadInput, shown

WARN_BEFORE_DAYS = 30


@dataclass(frozen=True)
class Serving:
    """The chain and the key to serve with, and the root that phones have to trust; None where they do already."""

    chain: Path
    key: Path
    root: Path | None


def serving(settings: Settings, now: datetime) -> Serving:
    """The files, made or renewed where they are the shop's own to make.

    Raises BadInput (`bad-setting`) where the shop's own files cannot be served with.
    """
    if settings.tls:
        _need_pair(*settings.tls)
        return Serving(*settings.tls, None)
    files = certificates.ensure(settings.data / "tls", address.names(settings), now)
    return Serving(files.chain, files.key, files.root)


def root_of(settings: Settings) -> Path | None:
    """The root to hand to phones, where https is served by the shop's own authority."""
    path = settings.data / "tls" / "root.pem"
    return path if settings.https_port and not settings.tls and path.exists() else None


def stamp(files: Serving) -> bytes:
    """What tells one certificate from the next."""
    return files.chain.read_bytes() + files.key.read_bytes()


def trouble(settings: Settings, now: datetime) -> list[str]:
    """What a phone would not like about the shop's own certificate files, in sentences."""
    if not settings.tls:
        return []
    leaf = x509.load_pem_x509_certificate(settings.tls[0].read_bytes())
    host, days = address.address_of(settings).host, (leaf.not_valid_after_utc - now).days
    found = []
    if days < WARN_BEFORE_DAYS:
        found.append(f"TLS_CERT={shown(str(settings.tls[0]))} ends in {days} days; put a newer one in its place")
    if not _names(leaf, host):
        what = "phones will refuse it; set ADDRESS to a name that it is for"
        found.append(f"TLS_CERT={shown(str(settings.tls[0]))} does not name the shop's address {host}: {what}")
    return found


def _names(leaf: x509.Certificate, host: str) -> bool:
    try:
        named = certificates.names_in(leaf)
    except x509.ExtensionNotFound:
        return False
    return host in named or f"*.{host.partition('.')[2]}" in named


def _need_pair(chain: Path, key: Path) -> None:
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(chain, key, password="")
    except (OSError, ValueError) as error:  # ssl's own errors are OSErrors
        why = getattr(error, "reason", None) or str(error)
        what = f"TLS_CERT={shown(str(chain))} with TLS_KEY={shown(str(key))} cannot be served with: {why}"
        raise BadInput("bad-setting", "TLS_CERT", what) from error


def now() -> datetime:
    return datetime.now(UTC)
