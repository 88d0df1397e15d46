"""What a shop may set: environment variables or the command's options become one frozen `Settings`.

| variable | default | meaning |
| --- | --- | --- |
| DATA | data | folder of everything the shop keeps: database, photos, secret |
| DATABASE_URL | SQLite in DATA/baybook.db | any SQLAlchemy URL |
| DATABASE_CONNECTIONS | 30 | how many connections to a PostgreSQL each process holds at most |
| READ_DATABASE_URL | none | a head office's standby: its pages of times, outcomes and kit are read from there |
| HOST | 0.0.0.0 | address to listen on; all interfaces unless said otherwise |
| PORT | 8080 | port to listen on |
| LENGTH_UNIT | mm | what lengths are shown and typed in: mm, or in for inches with fractions to 1/16 |
| PROCEDURES | those that come along | folder of the procedures and vehicle figures that this shop works by |
| HTTPS_PORT | PORT + 363 | port of https, 8443 beside 8080; 0 serves plain http alone |
| ADDRESS | found, then kept | the host name or IP address that phones use; NAME:PORT where a proxy has another port |
| TLS_CERT | made here | the shop's own certificate chain (PEM); with TLS_KEY |
| TLS_KEY | made here | the key of TLS_CERT (PEM, not encrypted) |
| LOCK_AFTER | 15 | minutes after which a phone that nobody uses locks itself, 1 to 720 |
| ALONE_AFTER | 5 | supervised jobs with a first-time pass after which working alone is proposed, 1 to 100 |
| BACKUP_TO | none | folder that the shop is copied to every day while it is served |
| BACKUP_AT | 02:30 | when, by the shop's clock |
| BACKUP_KEY | none | file with an age key; copies are encrypted to it |
| KEEP_VEHICLE | 3650 | days after a job's end for which VIN, repair order and typed texts are kept; 0 for good |
| KEEP_PHOTOS | 3650 | days after a job's end for which its photos are kept; 0 for good |
| HEAD_OFFICE | no | yes for a head office, which collects the finished jobs of shops; on PostgreSQL |
| SEND_HOURS | always | when finished jobs are sent to head office, by the shop's clock, such as 20:00-06:30 |
| SEND_RATE | 0 | kilobytes a second that are sent to head office at most; 0 for as many as the line takes |
"""

import ipaddress
import os
import re
import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import cast, get_args

from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError

from webapp.core.errors import BadInput, shown
from webapp.core.lengths import MM, Unit
from webapp.paths import PROCEDURES

DEFAULTS = {
    "DATA": "data",
    "DATABASE_URL": "",
    "DATABASE_CONNECTIONS": "30",
    "READ_DATABASE_URL": "",
    "HOST": "0.0.0.0",  # noqa: S104 - phones must reach it
    "PORT": "8080",
    "LENGTH_UNIT": MM,
    "PROCEDURES": "",
    "HTTPS_PORT": "",
    "ADDRESS": "",
    "TLS_CERT": "",
    "TLS_KEY": "",
    "LOCK_AFTER": "15",
    "ALONE_AFTER": "5",
    "BACKUP_TO": "",
    "BACKUP_AT": "02:30",
    "BACKUP_KEY": "",
    "KEEP_VEHICLE": "3650",
    "KEEP_PHOTOS": "3650",
    "HEAD_OFFICE": "no",
    "SEND_HOURS": "",
    "SEND_RATE": "0",
}
HTTPS_ABOVE = 363
"""8443 beside 8080; and a second shop on the same machine, which has another PORT, is not in the way of the first."""
HOST_NAME = re.compile(r"(?=.{1,253}$)[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?(\.[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?)*")
TIME_OF_DAY = "([01][0-9]|2[0-3]):[0-5][0-9]"
SECRET_BYTES = 32
LONGEST_LOCK_MIN = 720
MOST_JOBS_BEFORE_ALONE = 100
FEWEST_CONNECTIONS, MOST_CONNECTIONS = 2, 1000
"""Some pages read in two transactions at once."""


@dataclass(frozen=True)
class Settings:
    """Everything that differs from shop to shop. `secret` signs the cookies; it never leaves the data folder.

    `https_port` is None where only plain http is served; `address` is the (host, port or None) that phones were said to
    use, None where nobody said; `tls` is the shop's own certificate chain and key.
    """

    data: Path
    database_url: str
    host: str
    port: int
    procedures: Path
    secret: str = field(repr=False)
    https_port: int | None = None
    address: tuple[str, int | None] | None = None
    tls: tuple[Path, Path] | None = None
    length_unit: Unit = MM
    backup_to: Path | None = None
    backup_at: str = "02:30"
    backup_key: Path | None = None
    lock_after_s: int = 900
    alone_after: int = 5
    keep_vehicle_days: int = 3650
    keep_photos_days: int = 3650
    head_office: bool = False
    send_hours: tuple[str, str] | None = None
    send_rate_kb_s: int = 0
    database_connections: int = 30
    read_database_url: str | None = None

    @property
    def photos(self) -> Path:
        return self.data / "photos"


def settings(environment: Mapping[str, str] = os.environ, **options: str | int | Path | None) -> Settings:
    """Return the settings; an option given on the command line (`port=8081`) goes before the environment.

    Makes the data folder and its secret if they are missing. Raises BadInput (code `bad-setting`) naming the
    variable and its value.
    """
    given = {name.upper(): str(value) for name, value in options.items() if value is not None}
    said = DEFAULTS | {name: environment[name] for name in DEFAULTS if environment.get(name)} | given
    if unknown := sorted(said.keys() - DEFAULTS.keys()):
        raise _bad(unknown[0], said[unknown[0]], f"is not a setting; there are {', '.join(DEFAULTS)}")
    port = _port("PORT", said["PORT"])
    https_port, address, tls = _https_port(said["HTTPS_PORT"], port), _address(said["ADDRESS"]), _tls(said)
    data = _folder(said["DATA"])
    database_url = _database_url("DATABASE_URL", said["DATABASE_URL"] or f"sqlite:///{data / 'baybook.db'}")
    procedures = _procedures(said["PROCEDURES"])
    unit = _length_unit(said["LENGTH_UNIT"])
    backup_to = Path(said["BACKUP_TO"]).expanduser().resolve() if said["BACKUP_TO"] else None
    backup_key = _file("BACKUP_KEY", said["BACKUP_KEY"])
    return Settings(
        data,
        database_url,
        said["HOST"],
        port,
        procedures,
        _secret(data),
        https_port,
        address,
        tls,
        unit,
        backup_to,
        _time_of_day(said["BACKUP_AT"]),
        backup_key,
        _lock_after_s(said["LOCK_AFTER"]),
        _alone_after(said["ALONE_AFTER"]),
        _days("KEEP_VEHICLE", said["KEEP_VEHICLE"]),
        _days("KEEP_PHOTOS", said["KEEP_PHOTOS"]),
        _yes_or_no("HEAD_OFFICE", said["HEAD_OFFICE"]),
        _hours(said["SEND_HOURS"]),
        _rate(said["SEND_RATE"]),
        _connections(said["DATABASE_CONNECTIONS"]),
        _standby(said["READ_DATABASE_URL"]),
    )


def _bad(name: str, value: str, what: str) -> BadInput:
    return BadInput("bad-setting", name, f"{name}={shown(value)} {what}")


def _length_unit(text: str) -> Unit:
    if text not in get_args(Unit):
        raise _bad("LENGTH_UNIT", text, f"must be {' or '.join(get_args(Unit))}")
    return cast(Unit, text)


def _lock_after_s(text: str) -> int:
    if not (re.fullmatch("[0-9]{1,3}", text) and 1 <= int(text) <= LONGEST_LOCK_MIN):
        raise _bad("LOCK_AFTER", text, f"must be a whole number of minutes from 1 to {LONGEST_LOCK_MIN}")
    return 60 * int(text)


def _alone_after(text: str) -> int:
    if not (re.fullmatch("[0-9]{1,3}", text) and 1 <= int(text) <= MOST_JOBS_BEFORE_ALONE):
        raise _bad("ALONE_AFTER", text, f"must be a whole number of jobs from 1 to {MOST_JOBS_BEFORE_ALONE}")
    return int(text)


def _days(name: str, text: str) -> int:
    if not re.fullmatch("[0-9]{1,5}", text):
        raise _bad(name, text, "must be a whole number of days, or 0 to keep it for good")
    return int(text)


def _port(name: str, text: str) -> int:
    if not (re.fullmatch("[0-9]{1,5}", text) and 1 <= int(text) <= 65535):
        raise _bad(name, text, "must be a whole number from 1 to 65535")
    return int(text)


def _https_port(text: str, port: int) -> int | None:
    if text == "0":
        return None
    https_port = _port("HTTPS_PORT", text or str(port + HTTPS_ABOVE))
    if https_port == port:
        raise _bad("HTTPS_PORT", text, "is PORT too; https and plain http need a port each")
    return https_port


def _address(text: str) -> tuple[str, int | None] | None:
    if not text:
        return None
    with_port = re.fullmatch("([^:]*):([0-9]*)", text)  # more colons are those of an IPv6 address
    host, port = with_port.groups() if with_port else (text, None)
    host = host.lower().rstrip(".")
    try:
        host = str(ipaddress.ip_address(host))
    except ValueError:
        if not HOST_NAME.fullmatch(host):
            what = "must be a host name or an IP address, without http:// and path; NAME:PORT for a proxy's port"
            raise _bad("ADDRESS", text, what) from None
    return host, None if port is None else _port("ADDRESS", port)


def _tls(said: Mapping[str, str]) -> tuple[Path, Path] | None:
    """Both files or neither; whether they can be served with is found out by `webapp.tls`."""
    given = {name: path for name in ("TLS_CERT", "TLS_KEY") if (path := _file(name, said[name]))}
    if len(given) == 1:
        (name,) = {"TLS_CERT", "TLS_KEY"} - given.keys()
        raise _bad(name, "", "is missing: a certificate and its key are given together")
    return (given["TLS_CERT"], given["TLS_KEY"]) if given else None


def _file(name: str, text: str) -> Path | None:
    if not text:
        return None
    path = Path(text).expanduser().resolve()
    if not os.access(path, os.R_OK) or not path.is_file():
        raise _bad(name, text, "is no file that can be read")
    return path


def _yes_or_no(name: str, text: str) -> bool:
    if text not in ("yes", "no"):
        raise _bad(name, text, "must be yes or no")
    return text == "yes"


def _hours(text: str) -> tuple[str, str] | None:
    if not text:
        return None
    begin, dash, end = text.partition("-")
    if not dash or begin == end or not re.fullmatch(TIME_OF_DAY, begin) or not re.fullmatch(TIME_OF_DAY, end):
        raise _bad("SEND_HOURS", text, "must be two different times of day such as 20:00-06:30")
    return begin, end


def _rate(text: str) -> int:
    if not re.fullmatch("[0-9]{1,7}", text):
        raise _bad("SEND_RATE", text, "must be a whole number of kilobytes a second, or 0 for no limit")
    return int(text)


def _time_of_day(text: str) -> str:
    if not re.fullmatch(TIME_OF_DAY, text):
        raise _bad("BACKUP_AT", text, "must be a time of day such as 02:30")
    return text


def _connections(text: str) -> int:
    if not (re.fullmatch("[0-9]{1,4}", text) and FEWEST_CONNECTIONS <= int(text) <= MOST_CONNECTIONS):
        what = f"must be a whole number from {FEWEST_CONNECTIONS} to {MOST_CONNECTIONS}"
        raise _bad("DATABASE_CONNECTIONS", text, what)
    return int(text)


def _standby(text: str) -> str | None:
    if not text:
        return None
    if make_url(_database_url("READ_DATABASE_URL", text)).get_backend_name() != "postgresql":
        what = "READ_DATABASE_URL must be that of a PostgreSQL which follows the one of DATABASE_URL; or leave it out"
        raise BadInput("bad-setting", "READ_DATABASE_URL", what)
    return text


def _database_url(name: str, text: str) -> str:
    try:
        make_url(text)
    except (ArgumentError, ValueError) as error:
        # The value may hold a password, so it is not quoted back.
        what = f"{name} is not a database address; write it like postgresql+psycopg://user@host/name"
        raise BadInput("bad-setting", name, what) from error
    return text


def _folder(text: str) -> Path:
    folder = Path(text).expanduser().resolve()
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _bad("DATA", text, f"cannot be used as a folder: {error.strerror}") from error
    if not os.access(folder, os.W_OK | os.X_OK):
        raise _bad("DATA", text, "is a folder that may not be written to")
    return folder


def _procedures(text: str) -> Path:
    if not text:
        return PROCEDURES
    folder = Path(text).expanduser().resolve()
    if not (folder / "shared" / "catalogue.yaml").is_file():
        raise _bad("PROCEDURES", text, "is no folder of procedures: shared/catalogue.yaml is missing in it")
    return folder


def _secret(data: Path) -> str:
    """Read the secret, made on the first start. Linking a finished file lets two servers start at once."""
    path = data / "secret"
    if not path.exists():
        new = data / f".secret-{secrets.token_hex(8)}"
        with os.fdopen(os.open(new, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600), "w") as file:
            file.write(secrets.token_hex(SECRET_BYTES))
            file.flush()
            os.fsync(file.fileno())
        try:
            os.link(new, path)
        except FileExistsError:
            pass  # another server was faster; its secret is the shop's
        finally:
            new.unlink()
    secret = path.read_text().strip()
    if len(secret) < 2 * SECRET_BYTES:
        raise _bad("DATA", str(data), f"holds a damaged file 'secret'; delete {path}, and everyone signs in again")
    return secret
