"""A vehicle's page: what it holds and lacks, its revisions; and a second person's approval, or a withdrawal."""

from flask import Response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import BadInput, BaybookError, shown
from webapp.core.kinds.common import words
from webapp.library.written import as_yaml
from webapp.messages import tongue
from webapp.storage import specs
from webapp.web import db, moment, worded
from webapp.web.refusals import status_of
from webapp.web.signer import signer, signs_here
from webapp.web.specs import pages
from webapp.web.specs.differences import differences
from webapp.web.specs.listing import state_of
from webapp.web.specs.seen import faults, may_write, names, see
from webapp.web.specs.shown import parts

Answer = str | AnyResponse | tuple[str, int]


@pages.get("/<vehicle>")
def one(vehicle: str) -> Answer:
    return _page(vehicle, None)


@pages.post("/<vehicle>/approve")
def approve(vehicle: str) -> Answer:
    """The newest revision is worked with from now on; another one vouches for it than whoever saved it."""
    try:
        number = _number(request.form.get("revision", ""))
        by = signer()
        with db.session() as held:
            seen = see(held, vehicle)
            kept = specs.revision_of(held, vehicle, number)
        found = faults(kept.document, seen.others)
        if found:
            first = found[0]
            what = f"{first.place or 'vehicle'}: {first.message}; put it right before it is approved"
            raise BadInput("spec-faults", first.place, what)
        with db.writing() as held:
            specs.approve(held, vehicle, number, by.code, moment.now().at)
    except BaybookError as error:
        return _page(vehicle, error, "approve")
    return redirect(url_for("specs.one", vehicle=vehicle), 303)


@pages.post("/<vehicle>/withdraw")
def withdraw(vehicle: str) -> Answer:
    """Its own figures are worked with no longer, for a reason that is kept."""
    try:
        why = words(request.form.to_dict(), "reason", "why these figures are withdrawn")
        by = signer()
        with db.writing() as held:
            specs.withdraw(held, vehicle, by.code, moment.now().at, why)
    except BaybookError as error:
        return _page(vehicle, error, "withdraw")
    return redirect(url_for("specs.one", vehicle=vehicle), 303)


@pages.get("/<vehicle>/revisions/<int:number>")
def compare(vehicle: str, number: int) -> Answer:
    """A revision against another one: the one in use, else the one before it."""
    with db.session() as held:
        seen = see(held, vehicle)
        kept, rows = specs.revision_of(held, vehicle, number), specs.revisions(held, vehicle)
        before = [row.revision for row in rows if row.revision < number]
        against = request.args.get("against", str(before[0]) if before else "")
        other = specs.revision_of(held, vehicle, _number(against)) if against else None
        people_ = names(held)
    document = other.document if other else {}
    return render_template(
        "specs/differences.html",
        seen=seen,
        kept=kept,
        other=other,
        differences=differences(document, kept.document),
        earlier=before,
        names=people_,
        moment=_moment,
    )


@pages.get("/<vehicle>.yaml")
def export(vehicle: str) -> Response:
    """A revision as the file that the library would keep of it; the newest where none is asked for."""
    with db.session() as held:
        seen = see(held, vehicle)
        asked = request.args.get("revision", "")
        document = specs.revision_of(held, vehicle, _number(asked)).document if asked else seen.document
    headers = {"Content-Disposition": f'attachment; filename="{vehicle}.yaml"'}
    return Response(as_yaml(document), mimetype="application/yaml", headers=headers)


def _number(text: str) -> int:
    if not (text.isascii() and text.isdecimal() and len(text) < 10):
        raise BadInput("revision", "revision", f"revision={shown(text)} must be a whole number from 1")
    return int(text)


def _moment(at: str) -> str:
    return f"{moment.local(at):%Y-%m-%d %H:%M}"


def _page(vehicle: str, refused: BaybookError | None, on: str = "") -> tuple[str, int]:
    library = worded.library()
    with db.session() as held:
        seen = see(held, vehicle)
        rows, decided, people_ = specs.revisions(held, vehicle), specs.decisions(held, vehicle), names(held)
    page = render_template(
        "specs/one.html",
        seen=seen,
        state=state_of(seen) if seen.row else None,
        parts=parts(library, seen.document, seen.faults),
        addable=[
            (one.procedure, one.title)
            for one in library.procedures.values()
            if one.sort == "calibration" and one.procedure not in seen.document["specs"]
        ],
        answers=[
            (f"{one['name']}:{option['value']}", f"{one['ask']} {option['label']}")
            for one in tongue().wording.within(seen.document.get("qualifiers", []))
            for option in one["options"]
        ],
        revisions=rows,
        decided=decided,
        names=people_,
        moment=_moment,
        may_write=may_write(),
        here=signs_here(),
        refused=refused,
        on=on,
        form=request.form,
    )
    return page, status_of(refused) if refused else 200
