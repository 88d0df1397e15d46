"""What every job page has around it: which job, which part of it, and the chalk line."""

from typing import Any

from ..fold import SETTLED, applies
from ..numbers import rounded
from ..sheet import Say, Sheet
from ..state import Clock, JobState


def applicable(sheet: Sheet, state: JobState) -> list[dict[str, Any]]:
    """The steps that stand, as far as the answers given so far tell."""
    return [step for step in sheet["steps"] if not step["only_if"] or applies(step, state.answers)]


def frame(sheet: Sheet, state: JobState, _now: Clock, say: Say) -> dict[str, Any]:
    """Head and chalk line. `line` is how far the work has come, in percent of the steps."""
    steps = applicable(sheet, state)
    known = state.steps
    settled = sum(1 for step in steps if step["id"] in known and known[step["id"]].status in SETTLED)
    job, vehicle = sheet["job"], sheet["vehicle"]
    section = next(
        (one for one in sheet["sections"] if state.current and state.current.startswith(one["id"] + "/")), None
    )
    return {
        "job": job["id"],
        "url": f"/jobs/{job['id']}",
        "order": job["repair_order"] or say("job-day-check"),
        "vehicle": f"{vehicle['maker']} {vehicle['model']}" if vehicle else "",
        "section": _section_title(section, say),
        "of": len(steps),
        "settled": settled,
        "line": rounded(100 * settled / len(steps), 2) if steps else 100,
        "line_says": say("job-line", settled=settled, of=len(steps)),
    }


def _section_title(section: dict[str, Any] | None, say: Say) -> str:
    if section is None:
        return ""
    if section["sort"] == "set-up" and len(section["calibrations"]) > 1:
        return say("job-section-shared", title=section["title"], count=len(section["calibrations"]))
    return str(section["title"])
