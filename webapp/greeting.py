"""What the terminal says when the shop is served: its addresses with a QR code, and what to take care of."""

import ipaddress
from io import StringIO

import qrcode
from sqlalchemy import Engine

from webapp import address, certificates, tls
from webapp.address import Address, address_of
from webapp.config import Settings
from webapp.messages import say
from webapp.storage import engine as storage
from webapp.storage import first
from webapp.storage.devices import stranded


def greeting(settings: Settings) -> str:
    """The QR code leads to plain http: what is there needs no trust yet, and it shows the way on."""
    at = address_of(settings)
    code = qrcode.QRCode(border=2)
    code.add_data(f"{at.plain}/")
    drawn = StringIO()
    code.print_ascii(out=drawn, invert=True)
    lines = [drawn.getvalue(), f"Baybook serves {at.plain}/ · data in {settings.data} · stop with Ctrl-C"]
    if at.secure:
        lines.append(say("serve-secure", address=f"{at.secure}/", guide=f"{at.plain}/phone"))
    if root := tls.root_of(settings):
        lines.append(say("serve-fingerprint", fingerprint=certificates.fingerprint(root)))
    return "\n".join(lines)


def first_code(settings: Settings, engine: Engine) -> list[str]:
    """The way into a shop in which there is nobody yet who could sign for anybody."""
    with storage.session(engine) as db:
        if not first.is_new(db):
            return []
    code, address = first.first_code(settings.data), f"{address_of(settings).plain}/people/new"
    return [say("serve-first", code=code, address=address)]


def warnings(settings: Settings, engine: Engine) -> list[str]:
    """What would strand phones or keep them away. An address that strands nobody is kept as the shop's."""
    at = address_of(settings)
    found = tls.trouble(settings, tls.now())
    if at.secure is None:
        return found
    with storage.session(engine) as db:
        left = stranded(db, at.secure)
    if left:
        phones = ", ".join(device.name for device in left)
        found.append(say("serve-strands", address=at.secure, phones=phones, old=left[0].origin or ""))
    elif settings.address:
        address.keep(settings.data, at.secure)
    if not _is_here(at):
        found.append(say("serve-elsewhere", address=at.host, own=", ".join(address.own_addresses())))
    return found


def _is_here(at: Address) -> bool:
    """Whether an IP address is this machine's. Of a name that is not asked: the phones' name server may differ."""
    try:
        ipaddress.ip_address(at.host)
    except ValueError:
        return True
    return at.host in address.own_addresses()
