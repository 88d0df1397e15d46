"""The kit's pages: what is where, may it be used, and when must it be inspected."""

from datetime import date
from itertools import groupby

from flask import Blueprint, redirect, render_template, request, url_for
from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core.errors import BaybookError
from webapp.core.measure.instruments import UNITS
from webapp.core.numbers import number
from webapp.core.view.figures import unit_sign
from webapp.messages import say
from webapp.storage import kit
from webapp.storage.tables import Item
from webapp.web import db, moment, worded
from webapp.web.kit import forms
from webapp.web.kit.state import state_of
from webapp.web.labels.print import can_carry, printed
from webapp.web.refusals import status_of
from webapp.web.rights import may_change, need_badge, need_supervisor

pages = Blueprint("kit", __name__, url_prefix="/kit", template_folder="templates")

Answer = str | Response | tuple[str, int]


def _today() -> date:
    return date.fromisoformat(moment.today())


@pages.get("")
def everything() -> str:
    """All things by kind; those that must not be used stand first."""
    with db.session() as held:
        things = kit.items(held)
    states = {item.code: state_of(item, _today()) for item in things}
    return render_template(
        "kit/list.html",
        groups=[(kind, list(group)) for kind, group in groupby(things, lambda item: item.kind)],
        states=states,
        unusable=[item for item in things if not states[item.code].usable],
        names={item.code: item.name for item in things},
        may_change=may_change(),
    )


@pages.get("/new")
def ask_new() -> Answer:
    return _new_page({}, None)


@pages.post("/new")
def add() -> Answer:
    try:
        need_supervisor()
        kind, is_, name = forms.what(request.form, db.library().catalogue)
        with db.writing() as held:
            added = kit.add_item(
                held,
                kind,
                is_,
                request.form.get("name", "").strip() or name,
                forms.upkeep(request.form),
                code=request.form.get("code", "").strip(),
                area_mm=forms.area_mm(request.form, db.library().unit) if kind == "bay" else None,
                accuracy=forms.accuracy(request.form, is_) if kind == "tool" else None,
                plan=forms.plan(request.form, db.library().unit) if kind == "bay" else None,
            )
            return redirect(url_for("kit.one", code=added.code), 303)
    except BaybookError as error:
        return _new_page(request.form, error)


@pages.get("/<code>")
def one(code: str) -> Answer:
    return _item_page(code, {}, None)


@pages.post("/<code>")
def change(code: str) -> Answer:
    try:
        need_supervisor()
        with db.writing() as held:
            item = kit.item_of(held, code)
            accuracy = forms.accuracy(request.form, item.is_) if item.kind == "tool" else None
            plan = forms.plan(request.form, db.library().unit) if item.kind == "bay" else None
            kit.change_item(held, code, request.form.get("name", ""), forms.upkeep(request.form), accuracy, plan)
    except BaybookError as error:
        return _item_page(code, request.form, error)
    return redirect(url_for("kit.one", code=code), 303)


@pages.post("/<code>/damaged")
def report_damage(code: str) -> Answer:
    """Anybody with a badge may take a thing out of service at once; only a supervisor puts it back."""
    try:
        by = need_badge()
        with db.writing() as held:
            kit.report_damage(held, code, request.form.get("damage", ""), by, moment.today())
    except BaybookError as error:
        return _item_page(code, request.form, error)
    return redirect(url_for("kit.one", code=code), 303)


def _new_page(form: forms.Form, refused: BaybookError | None) -> tuple[str, int]:
    with db.session() as held:
        homes = _homes(held)
    offers = [(say(f"kit-kind-{kind}"), things) for kind, things in forms.offers(worded.library().catalogue) if things]
    page = render_template(
        "kit/new.html", form=form, in_unit=db.library().unit, refused=refused, offers=offers, homes=homes
    )
    return page, status_of(refused) if refused else 200


def _item_page(code: str, form: forms.Form, refused: BaybookError | None) -> tuple[str, int]:
    with db.session() as held:
        item = kit.item_of(held, code)
        homes = _homes(held)
    page = render_template(
        "kit/item.html",
        item=item,
        form=form or _as_form(item),
        damage=form.get("damage", ""),
        refused=refused,
        state=state_of(item, _today()),
        homes=homes,
        label=printed(item) if can_carry(item) else None,
        unit=unit_sign(UNITS[item.is_]) if item.kind == "tool" and item.is_ in UNITS else None,
        sure=_how_sure(item),
        may_change=may_change(),
        in_unit=db.library().unit,
    )
    return page, status_of(refused) if refused else 200


def _how_sure(item: Item) -> str:
    """In words, what an instrument's readings are taken to be good to."""
    accuracy = item.accuracy
    if not accuracy:
        return say("kit-accuracy-none")
    figures = {name: number(accuracy[name] or 0) for name in ("half_width", "k")}
    return say(f"kit-sure-{accuracy['shape']}", **figures, per_m=accuracy["per_m"], unit=unit_sign(UNITS[item.is_]))


def _as_form(item: Item) -> dict[str, str]:
    held = {
        **item.model_dump(exclude={"accuracy", "plan"}),
        **(item.accuracy or {}),
        "plan": forms.plan_text(item.plan, db.library().unit),
    }
    return {
        name: "" if value is None else number(value) if isinstance(value, float) else str(value)
        for name, value in held.items()
    }


def _homes(held: Session) -> list[tuple[str, str]]:
    spots = [(item.code, f"{item.name} ({item.code})") for item in kit.items(held) if item.kind == "spot"]
    return [("", say("kit-no-home")), *spots]
