"""Labels to print: choose the things and the people, and take the sheet."""

from flask import Blueprint, Response, render_template, request
from sqlmodel import Session

from webapp.core.errors import BadInput, shown
from webapp.storage import kit, people
from webapp.web import db
from webapp.web.labels.code import qr_path
from webapp.web.labels.print import badge, can_carry, printed
from webapp.web.labels.sheet import SIZES, Printed, label_sheet
from webapp.web.rights import may_change

pages = Blueprint("labels", __name__, url_prefix="/labels", template_folder="templates")
pages.add_app_template_global(qr_path, "qr_path")

KINDS = ("target", "spot", "bay", "test-label", "badge")


@pages.get("")
def choose() -> str:
    with db.session() as held:
        groups = [(kind, labels) for kind in KINDS if (labels := _labels(held, kind))]
    return render_template("labels/choose.html", groups=groups, sizes=list(SIZES), chosen=request.args.getlist("code"))


@pages.get("/labels.pdf")
def sheet() -> Response:
    """The sheet of the codes asked for, or of all of a kind. A GET, so that it can be kept as a bookmark."""
    with db.session() as held:
        by_code = {code: label for kind in KINDS for code, label in _labels(held, kind)}
        whole = [label for kind in request.args.getlist("kind") for _, label in _labels(held, kind)]
    asked = request.args.getlist("code") if not whole else []
    if unknown := next((code for code in asked if code not in by_code), None):
        raise BadInput("label-unknown", "code", f"code={shown(unknown)} is no thing and no badge of this shop")
    size = request.args.get("size", "50")
    pdf = label_sheet(whole or [by_code[code] for code in asked], int(size) if size.isdecimal() else 0)
    return Response(pdf, mimetype="application/pdf", headers={"Content-Disposition": "inline; filename=labels.pdf"})


def _labels(held: Session, kind: str) -> list[tuple[str, Printed]]:
    """Return [(code, label)] of one kind. A badge's code is as good as the badge, so badges are not for everybody."""
    if kind == "badge":
        if not may_change():
            return []
        return [(person.code, badge(person)) for person in people.everyone(held) if person.active]
    return [(item.code, printed(item)) for item in kit.items(held) if item.kind == kind and can_carry(item)]
