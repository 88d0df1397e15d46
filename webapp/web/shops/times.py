"""How long the calibrations take at all shops that somebody sees: side by side, one of them, and by vehicle model."""

from typing import Any

from flask import Response, render_template, request
from sqlalchemy import Connection

from webapp.core.errors import NotFound, shown
from webapp.core.portions import OWN, PAUSE, SHARED, WAIT
from webapp.core.statistics import Interval
from webapp.storage.office import across, door, months, shops
from webapp.storage.office.across import Asked
from webapp.web import db, standby
from webapp.web.times import charts, wording
from webapp.web.times.export import Cell, lines, spelled
from webapp.web.times.figures import Group

from . import figures, pages, seen_regions
from .asked import asked, month_of, narrowed, picks, query

MOST_SIDE_BY_SIDE = 80
"""Of more shops than this their regions stand side by side, until one is chosen."""
MOST_ODD = 12
OF_A_SHOP = ("region", "shop", "since", "until")
CSV_COLUMNS = (
    "calibration", "jobs", "counted", "median_s", "median_low_s", "median_high_s", "p80_s", "p80_low_s", "p80_high_s",
    "setup_share", "first_time", "first_time_known",
)  # fmt: skip


@pages.get("/times")
@standby.may_read
def times() -> str:
    which, regions = asked(request.args), _added_up()
    with door.of_regions(db.reading(), regions) as held:
        types = across.overview(held, which)
        return render_template(
            "shops/times.html",
            types=types,
            trends={one.calibration: charts.trend(_trend(one, sure=False), small=True) for one in types},
            **_filters(held, None),
        )


@pages.get("/times.csv")
@standby.may_read
def times_file() -> Response:
    """What the page shows, as a file."""
    which, regions = asked(request.args), _added_up()
    with door.of_regions(db.reading(), regions) as held:
        types = across.overview(held, which)
    text = lines([CSV_COLUMNS, *([spelled(cell) for cell in _cells(one)] for one in types)])
    answer = Response(text, content_type="text/csv; charset=utf-8")
    answer.headers.set("Content-Disposition", "attachment", filename="baybook-shops.csv")
    return answer


@pages.get("/times/<calibration>")
@standby.may_read
def one_type(calibration: str) -> str:
    which, since, regions = asked(request.args), month_of(request.args, "compare"), _added_up()
    with door.of_regions(db.reading(), regions) as held:
        found, revisions = across.one_type(held, calibration, which)
        _need_known(calibration, found)
        parts = across.portions_of(held, calibration, which)
        groups, bins = _trend(found), figures.distribution(found.sums)
        effect = figures.of_a_month(found.months, since) if since else figures.of_revisions(revisions)
        return render_template(
            "shops/type.html",
            calibration=calibration,
            type=found.sums,
            own_steps=figures.own(found.sums),
            setup=figures.shared(found.sums),
            bins=bins,
            bars=charts.bars(bins, found.sums.whole),
            trend=charts.trend(groups),
            months=figures.month_rows(found.months),
            effects=[effect] if effect else [],
            compared=since,
            own=figures.portion(parts, OWN),
            shared=figures.portion(parts, SHARED),
            waits=figures.portion(parts, WAIT),
            pauses=figures.portion(parts, PAUSE),
            again=figures.odd(parts)[:MOST_ODD],
            most=across.MOST_TAKEN_APART if which.vehicle and found.sums.jobs > across.MOST_TAKEN_APART else None,
            **_beside(held, calibration, which),
            **_filters(held, calibration),
        )


@pages.get("/times/<calibration>/models")
@standby.may_read
def models(calibration: str) -> str:
    """One calibration's outcomes by vehicle model."""
    regions, which = seen_regions(), asked(request.args)
    with door.of_regions(db.reading(), regions) as held:
        found = across.models(held, calibration, which)
        about = _filters(held, None)
    outcomes = sorted({name for one in found for name in one.outcomes})
    return render_template("shops/models.html", calibration=calibration, models=found, outcomes=outcomes, **about)


def _added_up() -> list[str]:
    """The regions that are seen, of which the months have been brought up to what has arrived."""
    regions = seen_regions()
    standby.try_to_write(_add_up)
    db.library()  # read before the page holds a connection of its own
    return regions


def _add_up() -> None:
    with door.of_everything(db.engine()) as held:
        months.add_up(held)


def _need_known(calibration: str, found: across.Type) -> None:
    if not found.sums.jobs and calibration not in db.library().procedures:
        what = f"calibration={shown(calibration)} is not known; choose one on the times page"
        raise NotFound("calibration-unknown", "calibration", what)


def _trend(found: across.Type, *, sure: bool = True) -> list[Group]:
    return figures.by_month(found.months, sure=sure)


def _beside(held: Connection, calibration: str, which: Asked) -> dict[str, Any]:
    """Shops side by side, or regions where there would be too many; of one shop alone there is nothing beside."""
    rows = [row for row in shops.all_shops(held) if which.region in (None, row["region"])]
    if which.shop or len(rows) < 2:
        return {"places": [], "place": "shop"}
    place: across.Place = "shop" if len(rows) <= MOST_SIDE_BY_SIDE or which.region else "region"
    names = {row["id"]: row["name"] for row in rows}
    found = figures.side_by_side(across.places(held, calibration, which, place), names)
    return {"places": found, "place": place, "widest_s": figures.widest_s(found)}


def _filters(held: Connection, calibration: str | None) -> dict[str, Any]:
    """What the form that narrows down shows, and the query that keeps it in every link."""
    names = () if calibration else OF_A_SHOP
    given = query(request.args, *names)
    found = across.choices(held, calibration) if calibration else None
    lists = picks(shops.all_shops(held), found, given)
    return {
        "query": given,
        "of_a_shop": query(request.args, *OF_A_SHOP),
        "picks": lists,
        "narrowed": narrowed(lists, given),
        "wording": wording,
    }


def _cells(one: across.Type) -> list[Cell]:
    whole = one.sums.whole
    ends: list[Cell] = [None] * 6
    if whole:
        ends = [whole.median, *_ends(whole.median_interval), whole.p80, *_ends(whole.p80_interval)]
    rate = one.sums.rate
    return [one.calibration, one.sums.jobs, one.sums.counted, *ends, one.sums.setup_share, rate.passed, rate.n]


def _ends(interval: Interval) -> tuple[float | None, float | None]:
    return interval.low, interval.high
