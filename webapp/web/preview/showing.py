"""What the preview shows of a library's files as they are now."""

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from webapp.core.freeze import make_sheet
from webapp.core.plan import Proposal
from webapp.core.procedure import Library, Procedure, Step, Vehicle
from webapp.core.sheet import Sheet
from webapp.core.state import Clock, JobState
from webapp.core.view import job_page
from webapp.core.view.causes import causes_view
from webapp.library.finding import Finding
from webapp.library.lint import everything_wrong
from webapp.library.load import build
from webapp.library.sources import CATALOGUE, FRAGMENTS, sources
from webapp.messages import english, say
from webapp.web import mustache

NOW = Clock(at="", mono_s=0.0, boot="")


@dataclass(frozen=True)
class Shown:
    """A step as the phone's page has it, with what that page does not show at first."""

    html: str
    short: str | None
    causes: tuple[dict[str, Any], ...]
    only_with: str
    """The titles of the procedures of which the job must have one; empty where any job has the step."""
    only_without: str
    """The titles of those with any of which the job lacks it."""


@dataclass(frozen=True)
class Preview:
    """`findings` are those of the procedure and what it takes in; `elsewhere` counts the others."""

    name: str
    title: str = ""
    vehicle: str | None = None
    vehicles: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    elsewhere: int = 0
    steps: tuple[Shown, ...] = ()
    old: bool = False
    """The files cannot be worked with as they are: the steps are those of the last time they could."""


def changed_at(folder: Path) -> str:
    """Return a text that is another one as soon as a file of the library was saved, added or removed."""
    files = ((path.as_posix(), path.stat()) for path in sorted(folder.rglob("*.yaml")))
    told = "".join(f"{name}{stat.st_mtime_ns}{stat.st_size}" for name, stat in files)
    return hashlib.sha256(told.encode()).hexdigest()[:16]


def look(folder: Path, name: str, vehicle: str | None, last: Preview | None) -> Preview:
    """Return the procedure as its files are now; where they cannot be worked with, the steps of `last`."""
    read = sources(folder)
    found = everything_wrong(folder, read)
    own = {f"{name}.yaml", f"shared/{name}.yaml", FRAGMENTS, CATALOGUE}
    ours = tuple(one for one in found if one.file in own)
    made = replace(last or Preview(name), findings=ours, elsewhere=len(found) - len(ours), old=True)
    try:
        library = build(read)
        procedure = library.procedures[name]
        vehicles = tuple(one for one in library.vehicles if _serves(library, one, procedure))
        chosen = vehicle if vehicle in vehicles else next(iter(vehicles), None)
        steps = tuple(_steps(library, procedure, library.vehicles[chosen] if chosen else None))
    except Exception:  # what lint finds fault with may stop the freezing anywhere; the findings say what it is
        if not found:
            raise
        return made
    return replace(made, title=procedure.title, vehicle=chosen, vehicles=vehicles, steps=steps, old=False)


def _serves(library: Library, vehicle: str, procedure: Procedure) -> bool:
    return bool(_calibrations(library, library.vehicles[vehicle], procedure))


def _calibrations(library: Library, vehicle: Vehicle, procedure: Procedure) -> list[str]:
    """The calibrations of this vehicle's that the procedure is, or is part of."""
    if procedure.sort == "day":
        return []
    if procedure.sort == "set-up":
        return [one for one in vehicle.specs if procedure.procedure in library.procedures[one].set_up]
    return [one for one in vehicle.specs if procedure.sort == "closing" or one == procedure.procedure]


def _sheets(library: Library, procedure: Procedure, vehicle: Vehicle | None) -> Iterator[Sheet]:
    """Jobs with this procedure in which no qualifier is known, so that every step of every way stands.

    Some steps stand for certain calibrations only, others only without them: so first a job with all of the vehicle's,
    then one with each alone.
    """
    sort = "day" if procedure.sort == "day" else "calibration"
    job: dict[str, Any] = {"id": "preview", "sort": sort, "repair_order": "", "vin": "", "qualifiers": {}, "bay": None}
    names = _calibrations(library, vehicle, procedure) if vehicle else []
    for plan in dict.fromkeys([tuple(names), *((one,) for one in names)]):
        yield make_sheet(library, job, vehicle, [Proposal(one, ()) for one in plan], {}, english)


def _steps(library: Library, procedure: Procedure, vehicle: Vehicle | None) -> Iterator[Shown]:
    """Each step as it comes up in the first job that it stands in, with the answers that let it stand."""
    wanted = {f"{procedure.procedure}/{step.id}": step for step in procedure.steps}
    found: dict[str, Shown] = {}
    for sheet in _sheets(library, procedure, vehicle):
        ours = [one for one in sheet["steps"] if one["id"] in wanted and one["id"] not in found]
        found |= {one["id"]: _shown(library, sheet, one, wanted[one["id"]]) for one in ours}
        if len(found) == len(wanted):
            break
    return (found[name] for name in wanted if name in found)


def _shown(library: Library, sheet: Sheet, step: dict[str, Any], written: Step) -> Shown:
    answers = {name: values[0] for name, values in step["only_if"].items()}
    page = job_page(sheet, JobState(current=step["id"], answers=answers), NOW, say)
    # The phone puts the cursor where the scanner types; on a page of many steps that would scroll it away.
    html = mustache.render("step", page | page["step"]).replace(" autofocus", "")
    only = [", ".join(library.procedures[name].title for name in names) for names in (written.when, written.unless)]
    return Shown(html, step["short"], tuple(causes_view(step, say)), *only)
