"""How long the calibrations take at all shops that somebody sees, and how they came out by vehicle model."""

from collections.abc import Mapping
from datetime import date

from flask import render_template, request

from webapp.core.errors import BadInput, shown
from webapp.storage.office import door, months, shops
from webapp.storage.office.months import Asked
from webapp.web import db
from webapp.web.times import wording

from . import pages, seen_regions

FILTERS = ("region", "shop", "since", "until")


@pages.get("/times")
def times() -> str:
    regions, asked = seen_regions(), _asked(request.args)
    with door.of_everything(db.engine()) as held:
        months.add_up(held)
    with door.of_regions(db.engine(), regions) as held:
        rows, types = shops.all_shops(held), months.overview(held, asked)
    return render_template(
        "shops/times.html", shops=rows, regions=sorted({row["region"] for row in rows}), types=types, query=_query(),
        wording=wording,
    )  # fmt: skip


@pages.get("/times/<calibration>")
def models(calibration: str) -> str:
    """One calibration's outcomes by vehicle model."""
    regions, asked = seen_regions(), _asked(request.args)
    with door.of_regions(db.engine(), regions) as held:
        rows, found = shops.all_shops(held), months.models(held, calibration, asked)
    outcomes = sorted({name for one in found for name in one.outcomes})
    return render_template(
        "shops/models.html", calibration=calibration, models=found, outcomes=outcomes, query=_query(), shops=rows,
        regions=sorted({row["region"] for row in rows}), wording=wording,
    )  # fmt: skip


def _query() -> dict[str, str]:
    return {name: request.args[name] for name in FILTERS if request.args.get(name)}


def _asked(given: Mapping[str, str]) -> Asked:
    """Read the filters from the address; months are whole, both included.

    Raises BadInput (`month-unreadable`, `months-swapped`).
    """
    since, until = _month(given, "since"), _month(given, "until")
    if since and until and since > until:
        what = f"since={given['since']} lies after until={given['until']}; swap the two months"
        raise BadInput("months-swapped", "since", what)
    following = date(until.year + until.month // 12, until.month % 12 + 1, 1) if until else None
    return Asked(given.get("region") or None, given.get("shop") or None, since, following)


def _month(given: Mapping[str, str], name: str) -> date | None:
    text = given.get(name) or ""
    if not text:
        return None
    try:
        if len(text) != len("2026-03"):
            raise ValueError
        return date.fromisoformat(f"{text}-01")
    except ValueError:
        what = f"{name}={shown(text)} must be a month such as 2026-03"
        raise BadInput("month-unreadable", name, what) from None
