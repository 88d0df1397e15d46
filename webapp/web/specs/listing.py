"""The list of vehicles, and the ways to a new one: begun, copied, or read from a file."""

from flask import redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from webapp.core.errors import BadInput, BaybookError, shown
from webapp.library.finding import Finding
from webapp.library.own import faults_of, file_of
from webapp.library.read import MOST_BYTES, parsed
from webapp.messages import say
from webapp.storage import specs
from webapp.storage.specs import Document
from webapp.web import db, moment
from webapp.web.refusals import status_of
from webapp.web.specs import pages
from webapp.web.specs.forms import NAME, begun, name_of
from webapp.web.specs.seen import Seen, may_write, need_manager, see, sources

Answer = str | Response | tuple[str, int]


@pages.get("")
def everything() -> str:
    """The shop's own vehicles, then those that ship."""
    with db.session() as held:
        mine = [see(held, one.row.vehicle) for one in specs.all_newest(held)]
    own = {one.name for one in mine}
    replaced = {one.name for one in mine if one.approval}
    return render_template(
        "specs/list.html",
        own=[(one, state_of(one)) for one in mine],
        shipped=[(one, one.vehicle in replaced) for one in db.shipped().vehicles.values()],
        copied=own,
        may_write=may_write(),
    )


def state_of(seen: Seen) -> tuple[str, str, str]:
    """Where a vehicle stands: the ink, the shape and the name of the message."""
    if seen.approval and seen.name not in db.library().approvals:
        return "outside", "⊗", "specs-state-unfit"
    if seen.approval:
        return ("close", "◐", "specs-state-newer") if seen.waits else ("inside", "●", "specs-state-in-use")
    if seen.decision and seen.row and seen.decision.revision == seen.row.revision:
        return "outside", "⊗", "specs-state-withdrawn"
    return "close", "◐", "specs-state-draft"


@pages.get("/new")
def ask_new() -> Answer:
    return _new_page({"copy": request.args.get("copy", "")}, None)


@pages.post("/new")
def add() -> Answer:
    form = request.form
    try:
        by = need_manager()
        made = _begun(form)
        return _keep(made, None, by)
    except BaybookError as error:
        return _new_page(form, error)


def _begun(form: dict[str, str]) -> Document:
    """The first revision of a vehicle. Raises BadInput or NotFound, naming the field."""
    copied = form.get("copy", "")
    with db.session() as held:
        model = see(held, copied).document if copied else None
    maker = form.get("maker", "").strip() or (model or {}).get("maker", "")
    called = form.get("model", "").strip() or (model or {}).get("model", "")
    name = name_of(maker, called)
    if model is None:
        return begun(name, maker, called) | {"revision": 1}
    shipped = db.shipped().vehicles.get(name)
    number = shipped.revision + 1 if shipped else 1
    return {**model, "vehicle": name, "maker": maker, "model": called, "revision": number}


def _keep(document: Document, after: int | None, by: str) -> Response:
    with db.writing() as held:
        if after is None and specs.newest(held, document["vehicle"]):
            what = f"model={shown(document['model'])}: the shop has this one already; open it from the list"
            raise BadInput("vehicle-known", "model", what)
        specs.save(held, document, after, by, moment.now().at)
    return redirect(url_for("specs.one", vehicle=document["vehicle"]), 303)


@pages.post("/import")
def take_file() -> Answer:
    """A vehicle as the library's files have it becomes the newest revision of the shop's own."""
    try:
        by = need_manager()
        upload = request.files.get("file")
        raw = upload.read(MOST_BYTES + 1) if upload else b""
        if not raw:
            raise BadInput("file-empty", "file", "file is empty; choose a vehicle's file, such as carrier.yaml")
        document, wrong = _read(raw)
        if wrong or document is None:
            return _new_page({}, None, wrong)
        with db.session() as held:
            last = specs.newest(held, document["vehicle"])
        after = last.row.revision if last else None
        number = document["revision"] if isinstance(document.get("revision"), int) else 1
        return _keep(document | {"revision": max(number, (after or 0) + 1)}, after, by)
    except BaybookError as error:
        return _new_page({}, error)


def _read(raw: bytes) -> tuple[Document | None, list[Finding]]:
    """The document in a file, or what is wrong with it by its lines. What is only lacking may be added on the pages."""
    first = parsed("", raw)
    name = first.root.at("vehicle").text
    if not first.readable or not NAME.fullmatch(name):
        lacks = Finding("", 1, "lacks 'vehicle', expected in every vehicle")
        return None, list(first.findings) or [lacks]
    mine = parsed(file_of(name), raw)
    given = [one for one in faults_of(sources(), mine) if one.given and one.path[:1] != ("vin",)]
    wrong = [Finding("", mine.root.at(*one.path).line, one.message) for one in given]
    document = {"specs": {}, "figures": {}, "outline": {}, "vin": [], **mine.root.plain()}
    return document, sorted({*mine.findings, *wrong}, key=lambda one: (one.line, one.message))


def _new_page(
    form: dict[str, str], refused: BaybookError | None, findings: list[Finding] | None = None
) -> tuple[str, int]:
    with db.session() as held:
        mine = [see(held, one.row.vehicle) for one in specs.all_newest(held)]
    offers = [
        ("", [("", say("specs-copy-none"))]),
        (say("specs-own"), [(one.name, one.called) for one in mine]),
        (say("specs-shipped"), [(one.vehicle, f"{one.maker} {one.model}") for one in db.shipped().vehicles.values()]),
    ]
    page = render_template(
        "specs/new.html",
        form=form,
        refused=refused,
        findings=findings or [],
        offers=[one for one in offers if one[1]],
        may_write=may_write(),
    )
    return page, status_of(refused) if refused else 400 if findings else 200
