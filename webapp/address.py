"""Where phones find the shop. What a phone keeps belongs to one address, so that is chosen once and then kept.

The address is the one in ADDRESS; else the one that was kept when the first phone was paired; else the machine's own
that faces the network.
"""

import ipaddress
import socket
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

import ifaddr

from webapp.config import Settings

EVERYWHERE = ("0.0.0.0", "::", "")  # noqa: S104 - compared, not bound
USUAL_PORTS = {"http": 80, "https": 443}


@dataclass(frozen=True)
class Address:
    """The shop as phones open it. `secure` is what the phone's journal hangs on; None where https is not served."""

    host: str
    plain: str
    secure: str | None


def origin(scheme: str, host: str, port: int) -> str:
    """As a browser spells it: https://192.168.1.20:8443, without a port where that is the scheme's own."""
    spelled = f"[{host}]" if ":" in host else host
    return f"{scheme}://{spelled}" + ("" if port == USUAL_PORTS[scheme] else f":{port}")


def is_local(host: str) -> bool:
    """Whether only the machine itself can mean this. Browsers hold such an address to be safe without TLS."""
    name = host.strip("[]").lower()
    try:
        return ipaddress.ip_address(name).is_loopback
    except ValueError:
        return name == "localhost" or name.endswith(".localhost")


def address_of(settings: Settings) -> Address:
    """The shop's address as these settings, or what was kept, have it."""
    host, port = settings.address or (None, None)
    host = host or urlsplit(kept(settings.data) or "").hostname or facing(settings.host)
    port = port or settings.https_port
    return Address(host, origin("http", host, settings.port), origin("https", host, port) if port else None)


def kept(data: Path) -> str | None:
    """The origin that the shop's phones were paired at, if any was."""
    path = data / "address"
    return path.read_text(encoding="utf-8").strip() or None if path.exists() else None


def keep(data: Path, chosen: str) -> None:
    """From now on this is the shop's address."""
    new = data / "address.new"
    new.write_text(chosen + "\n", encoding="utf-8")
    new.replace(data / "address")


def keep_first(data: Path, paired_at: str) -> None:
    """With the first phone that is paired over https its address is the shop's, unless one was chosen before."""
    if paired_at.startswith("https://") and not is_local(urlsplit(paired_at).hostname or "") and kept(data) is None:
        keep(data, paired_at)


def facing(host: str) -> str:
    """The machine's address in the shop's network; `host` itself where it is one."""
    if host not in EVERYWHERE:
        return host
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # No packet is sent: this only asks the system which of its own addresses faces the network.
            probe.connect(("192.0.2.1", 9))
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"


def own_addresses() -> list[str]:
    """Every address of this machine, but for those that hold only on one cable."""
    found = [ip.ip if ip.is_IPv4 else ip.ip[0] for adapter in ifaddr.get_adapters() for ip in adapter.ips]
    return sorted({one for one in map(str, found) if not ipaddress.ip_address(one).is_link_local})


def names(settings: Settings) -> list[str]:
    """What the shop's certificate has to be for: its address, the machine's own names, all its addresses."""
    known, machine = kept(settings.data), socket.gethostname().lower()
    found = [address_of(settings).host, (known and urlsplit(known).hostname) or "", machine, "localhost"]
    found += [f"{machine}.local"] if "." not in machine else []
    return list(dict.fromkeys([*_usable(found), *own_addresses()]))


def _usable(found: Iterable[str]) -> list[str]:
    return [name for name in found if name and name.isascii() and len(name) <= 253]
