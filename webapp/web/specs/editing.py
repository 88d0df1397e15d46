"""A part of a vehicle on a form: every save is a revision; a value that cannot be is refused where it stands."""

from collections.abc import Mapping

from flask import redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from webapp.core.errors import BadInput, BaybookError, Stale, shown
from webapp.library.own import Fault
from webapp.messages import say, sentence, tongue
from webapp.storage import specs
from webapp.storage.specs import Document
from webapp.web import db, moment, worded
from webapp.web.refusals import status_of
from webapp.web.specs import pages
from webapp.web.specs import shown as show
from webapp.web.specs.forms import need, numbered, put
from webapp.web.specs.seen import Seen, faults, need_manager, see

Answer = str | Response | tuple[str, int]


@pages.get("/<vehicle>/parts/<part>")
def edit(vehicle: str, part: str) -> Answer:
    seen = _own(vehicle)
    need_manager()
    return _form_page(seen, part, {}, None, [one for one in seen.faults if one.given and show.part_of(one) == part])


@pages.post("/<vehicle>/parts/<part>")
def keep(vehicle: str, part: str) -> Answer:
    form = request.form.to_dict()
    seen = _own(vehicle)
    try:
        by = need_manager()
        made = put(seen.document, part, form, show.questions(db.shipped(), seen.document))
        wrong = [one for one in faults(made, seen.others) if one.given and show.part_of(one) == part]
        if wrong:
            return _form_page(seen, part, form, None, wrong)
        _save(seen, made, form.get("revision", ""), by)
    except BaybookError as error:
        return _form_page(seen, part, form, error, [])
    return redirect(url_for("specs.one", vehicle=vehicle), 303)


@pages.post("/<vehicle>/calibrations")
def change_calibrations(vehicle: str) -> Answer:
    """Add a calibration that the vehicle can have, or take one away; or a variant for one answer to a question."""
    form = request.form
    by = need_manager()
    seen = _own(vehicle)
    made = _changed(seen.document, form)
    _save(seen, made, form.get("revision", ""), by)
    part = f"spec-{form['add']}" if form.get("add") else ""
    away = url_for("specs.edit", vehicle=vehicle, part=part) if part else url_for("specs.one", vehicle=vehicle)
    return redirect(away, 303)


def _own(vehicle: str) -> Seen:
    """One of the shop's own. Raises NotFound (`vehicle-unknown`) or BadInput (`spec-not-own`)."""
    with db.session() as held:
        seen = see(held, vehicle)
    if seen.row is None:
        raise BadInput("spec-not-own", "vehicle", f"vehicle={shown(vehicle)} ships with the library; copy it first")
    return seen


def _changed(document: Document, form: Mapping[str, str]) -> Document:
    specs_, add, remove = dict(document["specs"]), form.get("add", ""), form.get("remove", "")
    if form.get("answer"):
        return _with_variant(document, form["answer"])
    if add:
        known = db.shipped().procedures.get(add)
        if known is None or known.sort != "calibration" or add in specs_:
            what = f"add={shown(add)} is no calibration that could be added; choose one of the list"
            raise BadInput("calibration-unknown", "add", what)
        specs_[add] = {"source": "", "revision": 1, "reference": "centreline", "figures": {}}
    elif remove.startswith("variant-"):
        number = int(remove.removeprefix("variant-")) if remove.removeprefix("variant-").isdecimal() else -1
        variants = dict(enumerate(document.get("variants", [])))
        need(variants, number, remove)
        left = [one for place, one in variants.items() if place != number]
        return {key: one for key, one in document.items() if key != "variants"} | ({"variants": left} if left else {})
    else:
        need(specs_, remove.removeprefix("spec-"), remove)
        del specs_[remove.removeprefix("spec-")]
    return document | {"specs": specs_}


def _with_variant(document: Document, answer: str) -> Document:
    """Other figures where a question has this answer, begun with the vehicle's own."""
    name, _, value = answer.partition(":")
    known = {one["name"]: [option["value"] for option in one["options"]] for one in document.get("qualifiers", [])}
    if value not in known.get(name, []) or not document["figures"]:
        what = f"answer={shown(answer)} is no answer to this vehicle's questions; choose one of the list"
        raise BadInput("answer-unknown", "answer", what)
    first = next(iter(document["figures"].items()))
    variant = {"only-if": {name: value}, "figures": dict([first])}
    return document | {"variants": [*document.get("variants", []), variant]}


def _save(seen: Seen, made: Document, revision: str, by: str) -> None:
    """Keep a revision; the same once more is none. Raises Stale (`spec-changed`)."""
    there = seen.row.revision if seen.row else None
    if revision != str(there):
        what = f"revision={there}: somebody saved this one in between; look at it, and make your change again"
        raise Stale("spec-changed", "revision", what)
    if made != seen.document:
        with db.writing() as held:
            specs.save(held, numbered(seen.document, made), there, by, moment.now().at)


def _form_page(
    seen: Seen, part: str, form: Mapping[str, str], refused: BaybookError | None, found: list[Fault]
) -> tuple[str, int]:
    document, library = seen.document, worded.library()
    here = need({one.id: one for one in show.parts(library, document, [])}, part, part)
    said: dict[str, list[str]] = {}
    for one in found:
        said.setdefault(show.field_of(one), []).append(sentence(one.message))
    if refused and refused.field not in ("", "revision"):
        said.setdefault(refused.field, []).append(sentence(refused.message))
    owner = _owner(document, part)
    page = render_template(
        "specs/part.html",
        seen=seen,
        part=here,
        form=form,
        said=said,
        refused=refused,
        owner=owner,
        about=show.about_fields(document, form) if part == "about" else {},
        rows=[]
        if part in ("about", "questions")
        else show.rows(show.wanted_by(library, document, part, db.shipped()), owner.get("figures", {}), said, form),
        references=[(one, say(f"specs-line-{one}")) for one in show.REFERENCES],
        lines=show.LINES,
        targets=[(one, kind.name) for one, kind in library.catalogue.targets.items()],
        spots=[(one, kind.name) for one, kind in library.catalogue.spots.items()],
        placements=show.placement_rows(library, document, part[5:], said, form) if part.startswith("spec-") else [],
        zip=zip,
        questions=tongue().wording.within(show.questions(db.shipped(), document)) if part == "questions" else [],
        asked={one["name"]: [o["value"] for o in one["options"]] for one in document.get("qualifiers", [])},
    )
    return page, status_of(refused) if refused else 400 if form else 200


def _owner(document: Document, part: str) -> Document:
    """Whose figures a part holds."""
    sort, _, which = part.partition("-")
    owners = {"spec": lambda: document["specs"][which], "variant": lambda: document["variants"][int(which)]}
    owner: Document = owners[sort]() if sort in owners else document
    return owner
