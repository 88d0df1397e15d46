"""The shop's own private keys: P-256, each in a file of the data folder, made when it is first asked for."""

import os
import secrets
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ec import SECP256R1, EllipticCurvePrivateKey, generate_private_key
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat, load_pem_private_key
from cryptography.x509 import CertificateBuilder, KeyUsage, Name, NameAttribute, random_serial_number
from cryptography.x509.oid import NameOID

from webapp.core.errors import BadInput

SEALING = "sealing-key.pem"
"""PINs that are typed offline are sealed to it. A lost one costs no more than a PIN typed again."""
RECORDS = "record-key.pem"
"""Signs the log and the records. Whoever has its public half can check a record; it is never made anew."""

FROM, UNTIL = datetime(2020, 1, 1, tzinfo=UTC), datetime(2100, 1, 1, tzinfo=UTC)
"""A record is looked at for as long as it is kept, so its certificate does not run out."""


@lru_cache(maxsize=8)
def private_key(folder: Path, name: str) -> EllipticCurvePrivateKey:
    """The key in that file. Raises BadInput (`bad-setting`) for a file that holds none."""
    path = folder / name
    if not path.exists():
        _make(path)
    try:
        found = load_pem_private_key(path.read_bytes(), None)
    except (ValueError, TypeError):
        found = None
    if not isinstance(found, EllipticCurvePrivateKey):
        what = "put it back from a backup" if name == RECORDS else "delete it, and phones fetch a new one"
        raise BadInput("bad-setting", "DATA", f"DATA holds a damaged file {name}; {what}")
    return found


def certificate(folder: Path, name: str) -> Path:
    """The certificate of that key, signed by itself: what a signature in a document must come with. Made once.

    What it is worth is the key in it: whoever checks a document compares that with the shop's.
    """
    path = (folder / name).with_suffix(".crt")
    if not path.exists():
        key = private_key(folder, name)
        who = Name([NameAttribute(NameOID.COMMON_NAME, "Baybook records")])
        made = (
            CertificateBuilder()
            .subject_name(who)
            .issuer_name(who)
            .public_key(key.public_key())
            .serial_number(random_serial_number())
            .not_valid_before(FROM)
            .not_valid_after(UNTIL)
            .add_extension(KeyUsage(True, True, False, False, False, False, False, False, False), critical=True)
            .sign(key, SHA256())
        )
        new = path.with_suffix(f".{secrets.token_hex(4)}")
        new.write_bytes(made.public_bytes(Encoding.PEM))
        new.replace(path)
    return path


def _make(path: Path) -> None:
    """Linking a finished file lets two servers start at once."""
    new = path.with_name(f".{path.stem}-{secrets.token_hex(8)}")
    pem = generate_private_key(SECP256R1()).private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    with os.fdopen(os.open(new, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "wb") as file:
        file.write(pem)
        file.flush()
        os.fsync(file.fileno())
    try:
        os.link(new, path)
    except FileExistsError:
        pass  # another server was faster; its key is the shop's
    finally:
        new.unlink()
