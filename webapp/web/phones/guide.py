"""The way of a phone aboard, a step a page: trusting the shop's authority, installing the app, pairing in it.

All of it works over plain http and without a script, since a phone has neither https nor the app before it is through.
"""

from flask import abort, render_template

from webapp import tls
from webapp.address import address_of
from webapp.web import db
from webapp.web.labels.code import qr_path
from webapp.web.phones import pages
from webapp.web.scheme import over_plain_http

TRUST = {
    "android": ("fetch-file", "install-file", "compare-file"),
    "ios": ("fetch-profile", "install-profile", "compare-profile", "switch-on"),
}
ON = {"android": ("open", "home-menu", "pair"), "ios": ("open", "home-share", "pair")}
PICTURES = {
    "fetch-file": "fetch",
    "fetch-profile": "fetch",
    "install-file": "trust",
    "install-profile": "trust",
    "compare-file": "compare",
    "compare-profile": "compare",
    "switch-on": "switch",
    "open": "open",
    "home-menu": "home",
    "home-share": "home",
    "pair": "pair",
}
FILES = {"fetch-file": "/phone/root.crt", "fetch-profile": "/phone/root.mobileconfig"}


def steps_of(system: str) -> tuple[str, ...]:
    """The steps of a phone of that system. Where the shop's certificate is one that phones trust, it begins with it."""
    return (TRUST[system] if tls.root_of(db.settings()) else ()) + ON[system]


@pages.get("/phone")
def begin() -> str:
    at = address_of(db.settings())
    return render_template(
        "phones/begin.html",
        at=at,
        code=qr_path(f"{at.plain}/phone"),
        steps=len(steps_of("android")),
        trusts=tls.root_of(db.settings()) is not None,
    )


@pages.get("/phone/<any(android, ios):system>/<int:number>")
def show_step(system: str, number: int) -> str:
    steps = steps_of(system)
    if not 1 <= number <= len(steps):
        abort(404)
    name, at = steps[number - 1], address_of(db.settings())
    after = f"/phone/{system}/{number + 1}" if number < len(steps) else "/"
    return render_template(
        "phones/step.html",
        name=name,
        picture=PICTURES[name],
        number=number,
        of=len(steps),
        file=FILES.get(name),
        at=at,
        # The next page over https is the proof: it opens only where the phone trusts the shop by now.
        after=f"{at.secure}{after}" if name == "open" and at.secure else after,
        before=f"/phone/{system}/{number - 1}" if number > 1 else "/phone",
        insecure=over_plain_http(),
    )
