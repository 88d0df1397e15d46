"""What the shop holds of a vehicle's owner: a manager finds it, gives it out, and erases it with PIN and reason.

The VIN comes in a form and never in an address, which browsers and proxies keep.
"""

from typing import Any

from flask import Blueprint, Response, render_template, request

from webapp.core.errors import BadInput, BaybookError, NotFound
from webapp.core.vin import groups
from webapp.storage import privacy
from webapp.storage.owner_data import owner_data
from webapp.storage.tables import Job
from webapp.web import db, moment
from webapp.web.people.sign import need_signature
from webapp.web.refusals import status_of
from webapp.web.rights import need_manager
from webapp.web.who import badge

pages = Blueprint("privacy", __name__, url_prefix="/owners", template_folder="templates")

LONGEST_REASON = 200


@pages.get("")
def show() -> str:
    need_manager()
    return _page()


@pages.post("")
def find() -> str | tuple[str, int]:
    need_manager()
    try:
        return _page(_found())
    except NotFound as error:
        return _page(error=error), status_of(error)


@pages.post("/data.zip")
def export() -> Response:
    """All of it as one file."""
    need_manager()
    jobs = _found()
    with db.session() as held:
        data = owner_data(held, db.settings().photos, jobs)
    headers = {"Content-Disposition": 'attachment; filename="owner-data.zip"', "Cache-Control": "no-store"}
    return Response(data, mimetype="application/zip", headers=headers)


@pages.post("/erase")
def erase() -> str | tuple[str, int]:
    """Erase it, signed by a manager's PIN, with a reason."""
    need_manager()
    jobs = _found()
    reason = " ".join(request.form.get("reason", "").split())
    try:
        if not 0 < len(reason) <= LONGEST_REASON:
            what = f"reason has {len(reason)} characters; say in 1 to {LONGEST_REASON} why it is erased"
            raise BadInput("reason", "reason", what)
        need_signature(request.form)
        with db.writing() as held:
            mine = privacy.jobs_of_vehicle(held, _vin())
            left = privacy.erase(held, mine, privacy.WHAT, badge() or "", reason, moment.now().at)
    except BaybookError as error:
        return _page(jobs, error), status_of(error)
    shop = db.settings()
    privacy.forget_files(shop.data, shop.photos, left)
    privacy.press(db.engine())
    return _page(erased=len(jobs))


def _vin() -> str:
    return request.form.get("vin", "").strip().upper()


def _found() -> list[Job]:
    """The jobs on the VIN that the form names. Raises NotFound (`vin-unknown`)."""
    with db.session() as held:
        found = privacy.jobs_of_vehicle(held, _vin())
    if not found:
        raise NotFound("vin-unknown", "vin", "vin: this shop holds no job on a vehicle with that VIN")
    return found


def _page(jobs: list[Job] | None = None, error: BaybookError | None = None, erased: int = 0) -> str:
    shop = db.settings()
    told: dict[str, Any] = {"vehicle": shop.keep_vehicle_days, "photos": shop.keep_photos_days}
    return render_template(
        "privacy/owner.html",
        jobs=jobs or [],
        form=request.form,
        refused=error,
        erased=erased,
        groups=groups(jobs[0].vin) if jobs else (),
        kept=told,
        at=lambda job: f"{moment.local(job.created_at):%Y-%m-%d}",
    )
