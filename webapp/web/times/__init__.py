"""How long each calibration type really takes, where the time goes, and how often it works first time."""

from collections.abc import Iterator
from tempfile import TemporaryFile
from typing import Any

import numpy as np
from flask import Response, render_template, request, send_file, stream_with_context
from sqlmodel import Session

from webapp.core.errors import NotFound, shown
from webapp.core.statistics import FEWEST, Ranks, summary
from webapp.storage import times
from webapp.storage.figures import Asked, Figures, Types
from webapp.storage.figures import figures as held_figures
from webapp.web import db

from . import charts, figures, kit, learning, now, week, whatif, wording
from .asked import asked, compared_day, narrowed, only, picks, query
from .export import COLUMNS, csv_text, write_parquet
from .pages import WAYS, pages

MOST_IN_RUN = 60
MOST_LISTED = 200
MOST_CAUSES = 12
PARQUET = "application/vnd.apache.parquet"


@pages.app_context_processor
def _words() -> dict[str, Any]:
    return {
        "wording": wording,
        "times_ways": WAYS,
        "charted": charts,
        "now": now,
        "whatif": whatif,
        "weeks": week,
        "kits": kit,
    } | {"may_read_progress": learning.may_read}


@pages.get("")
def overview() -> str:
    which = asked(request.args)
    with db.session() as held:
        known = held_figures(held)
        found = known.types(which)
        names = sorted(found, key=wording.calibration_name)
        types = [figures.type_figures(name, found[name], parts=False) for name in names]
        drawn = {one.calibration: charts.trend(figures.trend(one.found, sure=False), small=True) for one in types}
        few = [one for one in types if one.counted < FEWEST]
        values = {one.calibration: charts.values_of(one.found, one.found.whole_s, {}) for one in few}
        top_s = charts.reach_s([value for some in values.values() for value in some])
        strips = {name: charts.strip(some, top_s) for name, some in values.items()}
        return render_template(
            "times/overview.html", types=types, trends=drawn, strips=strips, **_filters(held, known, which, None)
        )


@pages.get("/<calibration>")
def one_type(calibration: str) -> str:
    which, day = asked(request.args), compared_day(request.args)
    with db.session() as held:
        known = held_figures(held)
        found = _figures(known, which, calibration)
        beside, steps = known.beside(which, calibration), known.steps(which, calibration)
        recent = found.found.only(np.flatnonzero(found.found.outcome == figures.DONE)[-MOST_IN_RUN:])
        values = charts.values_of(recent, recent.own_s, times.named(held, recent.seq))
        groups, bins = figures.trend(found.found), figures.distribution(found.found)
        effects = [figures.of_a_day(found.found, *day)] if day else [figures.of_revisions(found.found)]
        return render_template(
            "times/type.html",
            type=found,
            groups=groups,
            trend=charts.trend(groups),
            bins=bins,
            bars=charts.bars(bins, found.whole),
            run=charts.run(values, _ends(recent)),
            own=figures.steps(steps, beside, own=True),
            shared=figures.steps(steps, beside, own=False),
            waits=figures.waits(beside),
            pauses=figures.pauses(found.found),
            again=sorted((one for one in beside if one.again or one.wrong), key=lambda one: -one.again - one.wrong),
            causes=sorted(known.causes(which, calibration).items(), key=lambda one: (-one[1], one[0])),
            effects=[one for one in effects if one],
            compared=day,
            most_causes=MOST_CAUSES,
            **_filters(held, known, which, calibration),
        )


@pages.get("/<calibration>/jobs")
def jobs(calibration: str) -> str:
    which, word = asked(request.args), only(request.args)
    with db.session() as held:
        known = held_figures(held)
        found = _figures(known, which, calibration)
        some = np.flatnonzero(_are_meant(found.found, word))[::-1]
        listed = found.found.only(some[:MOST_LISTED])
        named = times.named(held, listed.seq)
        rows = times.rows_of(held, [named[int(seq)].job for seq in listed.seq], calibration)
        return render_template(
            "times/jobs.html",
            type=found,
            n=len(some),
            rows=rows,
            orders={one.job: one.label for one in named.values()},
            only=word,
            most=MOST_LISTED,
            **_filters(held, known, which, calibration),
        )


@pages.get("/<calibration>/steps/<section>/<step>")
def step(calibration: str, section: str, step: str) -> str:
    which, name = asked(request.args), f"{section}/{step}"
    with db.session() as held:
        known = held_figures(held)
        found = _figures(known, which, calibration)
        rows = times.longest_of(held, which, calibration, name, MOST_LISTED)
        if not rows:
            raise NotFound("step-without-times", "step", f"step={shown(name)} has no times in these jobs")
        line = next((one for one in known.steps(which, calibration) if one.step == name), None)
        return render_template(
            "times/step.html",
            type=found,
            step=name,
            rows=rows,
            found=summary(Ranks(line.seconds, in_order=True)) if line else None,
            n=len(line.seconds) if line else 0,
            share=line is not None and not line.own,
            most=MOST_LISTED,
            **_filters(held, known, which, calibration),
        )


@pages.get("/<any(jobs, steps):what>.csv")
def csv_file(what: str) -> Response:
    which, calibration = asked(request.args), request.args.get("calibration") or None
    answer = Response(stream_with_context(_csv(what, which, calibration)), content_type="text/csv; charset=utf-8")
    answer.headers.set("Content-Disposition", "attachment", filename=f"baybook-{what}.csv")
    return answer


def _csv(what: str, which: Asked, calibration: str | None) -> Iterator[str]:
    with db.session() as held:
        yield from csv_text(what, times.ROWS[what](held, which, calibration))


@pages.get("/<any(jobs, steps):what>.parquet")
def parquet_file(what: str) -> Response:
    which, calibration = asked(request.args), request.args.get("calibration") or None
    file = TemporaryFile()  # noqa: SIM115 - who sends it closes it
    with db.session() as held:
        write_parquet(what, times.ROWS[what](held, which, calibration), file)
    file.seek(0)
    return send_file(file, PARQUET, as_attachment=True, download_name=f"baybook-{what}.parquet")


def _figures(known: Figures, which: Asked, calibration: str) -> figures.TypeFigures:
    found = known.types(which, [calibration]).get(calibration)
    if found is None and calibration not in db.library().procedures:
        what = f"calibration={shown(calibration)} is not known; choose one on the times page"
        raise NotFound("calibration-unknown", "calibration", what)
    return figures.type_figures(calibration, known.none() if found is None else found)


def _are_meant(found: Types, word: str | None) -> Any:
    if word == "again":
        return found.first == 0
    return ~found.counted if word == "left-out" else np.ones(len(found), np.bool_)


def _ends(found: Types) -> list[str]:
    """The days of the first and the last of these jobs."""
    return [wording.day_of(int(found.finished_ms[at])) for at in (0, -1)] if len(found) else ["", ""]


def _filters(held: Session, known: Figures, which: Asked, calibration: str | None) -> dict[str, Any]:
    """What the form that narrows down shows, and the query that keeps it in every link."""
    lists = picks(held, which, known.choices(calibration))
    return {
        "query": query(request.args),
        "picks": lists,
        "narrowed": narrowed(request.args, lists),
        "columns": COLUMNS,
    }
