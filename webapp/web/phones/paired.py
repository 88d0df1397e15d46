"""The phones that are paired: when each was heard of last and how far it has come, and turning one away."""

from flask import redirect, render_template, request
from werkzeug.wrappers import Response

from webapp import certificates, tls
from webapp.address import address_of
from webapp.core.errors import BadInput, BaybookError
from webapp.messages import say
from webapp.storage import asides, devices, people
from webapp.storage.phone_tables import Device
from webapp.web import db, moment
from webapp.web.labels.code import qr_path
from webapp.web.phones import pages
from webapp.web.refusals import status_of
from webapp.web.rights import may_change, need_supervisor
from webapp.web.who import current_person

CLOCK_RIGHT_S = 2.0
LONGEST_WHY = 200

Answer = str | Response | tuple[str, int]


@pages.get("/phones")
def everyone() -> str:
    return _list_page()


@pages.post("/phones/codes")
def make_code() -> str:
    """A code for one phone, good for ten minutes. It is shown here and never again."""
    need_supervisor()
    person = current_person()
    with db.writing() as held:
        code = devices.make_code(held, person.code if person else "", moment.now().at)
    return _list_page(f"{code[:4]}-{code[4:]}")


@pages.get("/phones/<name>")
def one(name: str) -> Answer:
    return _phone_page(name)


@pages.post("/phones/<name>/revoke")
def revoke(name: str) -> Answer:
    """Turn a phone away, with the reason. What it brings later is kept aside for a manager."""
    why = " ".join(request.form.get("reason", "").split())
    try:
        need_supervisor()
        if not 1 <= len(why) <= LONGEST_WHY:
            raise BadInput("reason", "reason", f"reason has {len(why)} characters; say in 1 to {LONGEST_WHY} why")
        person = current_person()
        with db.writing() as held:
            devices.revoke(held, name, person.code if person else "", moment.now().at, why)
    except BaybookError as error:
        return _phone_page(name, error)
    return redirect("/phones", 303)


def _list_page(code: str | None = None) -> str:
    at, root = address_of(db.settings()), tls.root_of(db.settings())
    with db.session() as held:
        phones = devices.devices(held)
        left = devices.stranded(held, at.secure) if at.secure else []
        waiting = asides.count_of(held)
    return render_template(
        "phones/list.html",
        at=at,
        phones=phones,
        left=left,
        waiting=waiting,
        qr=qr_path(f"{at.plain}/phone"),
        fingerprint=certificates.fingerprint(root) if root else None,
        may_change=may_change(),
        code=code,
        state_of=_state,
        seen=_seen,
    )


def _phone_page(name: str, refused: BaybookError | None = None) -> tuple[str, int]:
    need_supervisor()
    with db.session() as held:
        device = devices.device_of(held, name)
        waiting = asides.count_of(held).get(name, 0)
        names = {person.code: person.name for person in people.everyone(held)}
    page = render_template(
        "phones/phone.html",
        phone=device,
        waiting=waiting,
        names=names,
        state=_state(device),
        seen=_seen(device.seen_at),
        paired=_seen(device.paired_at),
        revoked=_seen(device.revoked_at),
        clock=_clock(device.offset_s),
        refused=refused,
        typed=request.form.get("reason", ""),
    )
    return page, status_of(refused) if refused else 200


def _state(device: Device) -> str:
    if not device.key:
        return "from-file"
    return "revoked" if device.revoked_at else "paired"


def _seen(at: str | None) -> str:
    return f"{moment.local(at):%Y-%m-%d %H:%M}" if at else say("phones-never")


def _clock(offset_s: float | None) -> str:
    """How the phone's clock goes by the server's."""
    if offset_s is None:
        return say("phones-clock-unknown")
    if abs(offset_s) <= CLOCK_RIGHT_S:
        return say("phones-clock-right")
    return say("phones-clock-behind" if offset_s > 0 else "phones-clock-ahead", seconds=round(abs(offset_s)))
