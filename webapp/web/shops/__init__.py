"""Head office's pages about its shops: who has fallen silent, what was refused, codes to join, who sees what."""

from collections.abc import Sequence
from datetime import UTC, datetime

from flask import Blueprint, redirect, render_template, request
from sqlalchemy import RowMapping
from werkzeug.wrappers import Response

from webapp.core.errors import BaybookError, NotAllowed
from webapp.messages import say
from webapp.storage import people
from webapp.storage.office import door, releases, shops, standing
from webapp.web import db, moment
from webapp.web.refusals import status_of
from webapp.web.rights import need_manager, need_supervisor
from webapp.web.who import current_person

pages = Blueprint("shops", __name__, url_prefix="/shops", template_folder="templates")
Answer = str | tuple[str, int]

SILENT_DAYS = 3
"""A shop that was not heard of for so many days is told to be silent: over a weekend it may be closed."""


@pages.context_processor
def _words() -> dict[str, object]:
    return {"at": at}


@pages.before_app_request
def begin_here() -> Response | None:
    """Head office has no jobs of its own: it begins with its shops."""
    return redirect("/shops", 303) if request.path == "/" else None


@pages.get("")
def everyone() -> Answer:
    return _list()


@pages.post("/codes")
def make_code() -> Answer:
    need_manager()
    form = request.form
    try:
        with door.of_everything(db.engine()) as held:
            code = shops.make_code(held, form.get("name", ""), form.get("region", ""), _by(), moment.now().at)
    except BaybookError as error:
        return _list(error=error), status_of(error)
    return _list(code=code)


@pages.post("/readers")
def giveseen_regions() -> Answer:
    """Say which regions somebody sees; none for all of a manager's, and for nothing of anybody else's."""
    need_manager()
    regions = [" ".join(one.split()) for one in request.form.get("regions", "").split(",") if one.strip()]
    try:
        with db.session() as held:
            person = people.by_badge(held, request.form.get("person", ""))
        with door.of_everything(db.engine()) as held:
            shops.give_regions(held, person.code if person else "", regions)
    except BaybookError as error:
        return _list(error=error), status_of(error)
    return _list()


@pages.get("/<name>")
def one(name: str) -> Answer:
    return _one(name)


@pages.post("/<name>/again")
def join_again(name: str) -> Answer:
    """A code by which this shop joins anew."""
    need_manager()
    with door.of_everything(db.engine()) as held:
        row = shops.shop_of(held, name)
        code = shops.make_code(held, row["name"], row["region"], _by(), moment.now().at, name)
    return _one(name, code)


@pages.post("/<name>/out")
def take_out(name: str) -> Answer:
    need_manager()
    with door.of_everything(db.engine()) as held:
        shops.take_out(held, name, _by(), moment.now().at)
    return _one(name)


def _list(code: str = "", error: BaybookError | None = None) -> str:
    with door.of_regions(db.engine(), seen_regions()) as held:
        rows, counts, newest = shops.all_shops(held), standing.counts(held), releases.newest_number(held)
    readers = []
    if manages := _manages():
        with door.of_everything(db.engine()) as held:
            given = shops.readers(held)
        with db.session() as known:
            readers = [(one, ", ".join(given.get(one.code, []))) for one in people.everyone(known) if one.active]
    return render_template(
        "shops/list.html",
        regions=_by_region(rows),
        counts=counts,
        newest=newest,
        state_of=state_of,
        silent=silent_days,
        code=code,
        form=request.form,
        refused=error,
        manages=manages,
        readers=readers,
    )


def _one(name: str, code: str = "") -> str:
    with door.of_regions(db.engine(), seen_regions()) as held:
        row, apart, newest = shops.shop_of(held, name), standing.apart(held, name), releases.newest_number(held)
        answers = releases.answers(held, shop_name=name)
        count = standing.counts(held).get(name)
    return render_template(
        "shops/one.html", shop=row, apart=apart, count=count, state=state_of(row), silent=silent_days(row),
        code=code, manages=_manages(), newest=newest, answers=answers,
    )  # fmt: skip


def state_of(row: RowMapping) -> str:
    """`left`, `fails`, `silent` or `good`."""
    if row["left_at"]:
        return "left"
    if row["refused"]:
        return "fails"
    return "silent" if silent_days(row) >= SILENT_DAYS else "good"


def silent_days(row: RowMapping) -> int:
    """Whole days since the shop was heard of."""
    return (datetime.now(UTC) - datetime.fromisoformat(row["seen_at"])).days


def _by_region(rows: Sequence[RowMapping]) -> dict[str, list[RowMapping]]:
    made: dict[str, list[RowMapping]] = {}
    for row in rows:
        made.setdefault(row["region"], []).append(row)
    return made


def seen_regions() -> list[str]:
    """The regions that whoever asks sees. Raises NotAllowed (`needs-supervisor`, `no-region`)."""
    need_supervisor()
    with door.of_regions(db.reading(), [door.EVERYWHERE]) as held:
        given = shops.readers(held).get(_by(), [])
    if not given and not _manages():
        what = "No region was given to you: have a manager of head office say which you see"
        raise NotAllowed("no-region", "", what)
    return given or [door.EVERYWHERE]


def _manages() -> bool:
    person = current_person()
    return person is not None and person.role == "manager"


def _by() -> str:
    person = current_person()
    return person.code if person else ""


def at(instant: str | None) -> str:
    """An instant by head office's clock, or that there was none."""
    return f"{moment.local(instant):%Y-%m-%d %H:%M}" if instant else say("shops-never")


from . import kit, releasing, times  # noqa: E402, F401 - hang themselves on the pages
