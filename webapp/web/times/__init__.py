"""How long each calibration type really takes, where the time goes, and how often it works first time."""

from typing import Any

from flask import Blueprint, Response, render_template, request
from sqlmodel import Session

from webapp.core.errors import NotFound, shown
from webapp.storage import times
from webapp.storage.tables import JobTime
from webapp.web import db

from . import figures, wording
from .asked import asked, narrowed, only, picks, query
from .charts import key_of, run, strip
from .export import JOB_COLUMNS, STEP_COLUMNS, jobs_csv, steps_csv

pages = Blueprint("times", __name__, url_prefix="/times", template_folder="templates")

MOST_IN_RUN = 60
MOST_LISTED = 200


@pages.app_context_processor
def _words() -> dict[str, Any]:
    return {"wording": wording}


@pages.get("")
def overview() -> str:
    which = asked(request.args)
    with db.session() as held:
        rows = times.times_of(held, which)
        names = sorted({row.calibration for row in rows}, key=wording.calibration_name)
        types = [figures.type_figures(name, rows) for name in names]
        axis = figures.common_axis(types)
        strips = {one.calibration: strip(figures.values_of(one.rows), axis, one.whole) for one in types}
        key = key_of(*strips.values())
        return render_template(
            "times/overview.html", types=types, strips=strips, key=key, **_filters(held, which, None)
        )


@pages.get("/<calibration>")
def one_type(calibration: str) -> str:
    which = asked(request.args)
    with db.session() as held:
        found = _figures(held, which, calibration)
        steps = times.steps_of(held, which, calibration)
        orders = times.repair_orders(held, which, calibration)
        recent = [row for row in found.rows if row.outcome == "done"][-MOST_IN_RUN:]
        values = figures.values_of(recent, lambda row: row.own_s, lambda row: orders.get(row.job) or row.job)
        drawn = run(values, found.own)
        return render_template(
            "times/type.html",
            type=found,
            run=drawn,
            run_key=key_of(drawn),
            run_days=[wording.day(row.finished_at) for row in (recent[:1] + recent[-1:])] or ["", ""],
            own=figures.own_steps(calibration, steps),
            shared=figures.shared_steps(calibration, steps),
            waits=figures.waits(calibration, steps),
            pauses=figures.pauses(found.rows),
            **_filters(held, which, calibration),
        )


@pages.get("/<calibration>/jobs")
def jobs(calibration: str) -> str:
    which, word = asked(request.args), only(request.args)
    with db.session() as held:
        found = _figures(held, which, calibration)
        rows = [row for row in found.rows if _is_meant(row, word)]
        orders = times.repair_orders(held, which, calibration)
        return render_template(
            "times/jobs.html",
            type=found,
            rows=rows[::-1],
            orders=orders,
            only=word,
            most=MOST_LISTED,
            whole_s=figures.whole_s,
            **_filters(held, which, calibration),
        )


@pages.get("/<calibration>/steps/<section>/<step>")
def step(calibration: str, section: str, step: str) -> str:
    which, name = asked(request.args), f"{section}/{step}"
    with db.session() as held:
        found = _figures(held, which, calibration)
        rows = [row for row in times.steps_of(held, which, calibration) if row.step == name]
        if not rows:
            raise NotFound("step-without-times", "step", f"step={shown(name)} has no times in these jobs")
        orders = times.repair_orders(held, which, calibration)
        return render_template(
            "times/step.html",
            type=found,
            step=name,
            rows=sorted(rows, key=lambda row: row.seconds, reverse=True),
            orders=orders,
            line=figures.one_step(name, rows),
            most=MOST_LISTED,
            ended={row.job: row.finished_at for row in found.rows},
            **_filters(held, which, calibration),
        )


@pages.get("/jobs.csv")
def jobs_file() -> Response:
    which, calibration = asked(request.args), request.args.get("calibration") or None
    with db.session() as held:
        rows, orders = times.times_of(held, which, calibration), times.repair_orders(held, which, calibration)
        return _file("baybook-jobs.csv", jobs_csv(rows, orders))


@pages.get("/steps.csv")
def steps_file() -> Response:
    which, calibration = asked(request.args), request.args.get("calibration") or None
    with db.session() as held:
        rows, orders = times.steps_of(held, which, calibration), times.repair_orders(held, which, calibration)
        return _file("baybook-steps.csv", steps_csv(rows, orders))


def _file(name: str, text: str) -> Response:
    answer = Response(text, content_type="text/csv; charset=utf-8")
    answer.headers.set("Content-Disposition", "attachment", filename=name)
    return answer


def _figures(held: Session, which: times.Asked, calibration: str) -> figures.TypeFigures:
    found = figures.type_figures(calibration, times.times_of(held, which, calibration))
    if not found.rows and calibration not in db.library().procedures:
        what = f"calibration={shown(calibration)} is not known; choose one on the times page"
        raise NotFound("calibration-unknown", "calibration", what)
    return found


def _is_meant(row: JobTime, word: str | None) -> bool:
    if word == "again":
        return row.first_time_pass is False
    return not figures.counts(row) if word == "left-out" else True


def _filters(held: Session, which: times.Asked, calibration: str | None) -> dict[str, Any]:
    """What the form that narrows down shows, and the query that keeps it in every link."""
    lists = picks(held, which, times.choices(held, calibration))
    return {
        "query": query(request.args),
        "picks": lists,
        "narrowed": narrowed(request.args, lists),
        "columns": {"jobs": JOB_COLUMNS, "steps": STEP_COLUMNS},
    }
