"""Head office's pages about its releases: what was released and why, which shop works by which, and a new one."""

from flask import render_template, request
from sqlalchemy import RowMapping

from webapp.core.errors import BaybookError, NotAllowed
from webapp.core.release import need_note
from webapp.library.stock import Stock, need_workable, of_folder
from webapp.messages import tongue
from webapp.storage.office import door, releases, shops
from webapp.web import db, moment
from webapp.web.refusals import status_of
from webapp.web.releases.told import Told, told
from webapp.web.rights import need_manager
from webapp.web.shops import Answer, pages, seen_regions
from webapp.web.signer import signer


@pages.get("/releases")
def released() -> Answer:
    return _list(None)


@pages.post("/releases")
def release_now() -> Answer:
    """Release what head office itself has as its procedures, signed by a manager who sees every region."""
    need_manager()
    if not _releases():
        what = "Releasing is for a manager who sees every region; ask one of them"
        raise NotAllowed("needs-every-region", "", what)
    try:
        need_note(note := request.form.get("note", ""))
        by = signer()
        stock = _here()
        need_workable(stock)
        with door.of_everything(db.engine()) as held:
            signs = releases.signing(db.settings().data)
            made = releases.make(held, stock.files, note, by.name, moment.now().at, signs)
    except BaybookError as error:
        return _list(error), status_of(error)
    return _list(None, made.release.number)


@pages.get("/releases/<int:number>")
def one_release(number: int) -> Answer:
    """What a release changed against the one before, and what each shop made of it."""
    with door.of_regions(db.engine(), seen_regions()) as held:
        row = releases.one(held, number)
        files = releases.library_of(held, row)
        before = releases.library_of(held, releases.one(held, number - 1)) if number > 1 else None
        answers, rows = releases.answers(held, number), shops.all_shops(held)
    return render_template(
        "shops/release.html",
        release=row,
        files=len(files),
        changes=_told(before, files) if before is not None else None,
        answers=answers,
        behind=[one for one in rows if not one["left_at"] and (one["release"] or 0) < number],
        using=[one for one in rows if not one["left_at"] and one["release"] == number],
    )


def _list(refused: BaybookError | None, made: int | None = None) -> str:
    regions = seen_regions()
    with door.of_regions(db.engine(), regions) as held:
        rows, newest, everyone = releases.every(held), releases.newest(held), shops.all_shops(held)
        last = releases.library_of(held, newest) if newest else None
    here, unfit = None, None
    if may := _releases():
        try:
            here = _here()
        except BaybookError as error:
            unfit = error
    return render_template(
        "shops/releases.html",
        releases=rows,
        using={one["number"]: _using(everyone, one["number"]) for one in rows},
        shops=len([one for one in everyone if not one["left_at"]]),
        may_release=may,
        folder=db.settings().procedures,
        unfit=unfit,
        changes=_told(last, here.files) if here and last is not None else None,
        files=len(here.files) if here else 0,
        made=made,
        refused=refused,
        form=request.form,
    )


def _using(rows: list[RowMapping], number: int) -> int:
    return sum(one["release"] == number and not one["left_at"] for one in rows)


def _releases() -> bool:
    """Whether who asks is a manager to whom every region is shown."""
    try:
        need_manager()
        return seen_regions() == [door.EVERYWHERE]
    except NotAllowed:
        return False


def _here() -> Stock:
    """What head office has as its own procedures, as the folder stands now."""
    return of_folder(db.settings().procedures, db.settings().length_unit)


def _told(before: dict[str, bytes], after: dict[str, bytes]) -> list[Told]:
    return told(before, after, db.settings().length_unit, tongue())
