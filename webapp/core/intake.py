"""Intake: what has to be known of a job before it can be planned, taken from a form.

A job that is being planned is plain facts, the same on the server and on a phone: {"id", "sort", "repair_order", "vin",
"vehicle": its model's name or None, "odometer_km", "reasons", "qualifiers", "lamps", "codes", "bay": a code or None,
"plan": {"added", "struck"}}. A form is a mapping of texts, but for `reasons`, which is a list of them.
"""

from collections.abc import Mapping
from typing import Any

from .errors import BadInput, shown
from .kit import Kit, bays
from .measure.reading import Range, read
from .numbers import number
from .plan import vehicles_for
from .procedure import REASONS, Library, Vehicle

Facts = dict[str, Any]
Form = Mapping[str, Any]

ODOMETER_KM = Range("km", 0, 5_000_000)
LONGEST = {"repair_order": 40, "lamps": 500, "codes": 500}
ABOUT = ("id", "sort", "repair_order", "vin", "odometer_km", "reasons", "qualifiers", "lamps", "codes", "bay")
"""What the sheet says of the job itself."""


def new_facts(library: Library, job: str, vin: str) -> Facts:
    """A job that is known by its VIN alone; its model too, where only one fits."""
    fitting = vehicles_for(library, vin)
    vehicle = fitting[0].vehicle if len(fitting) == 1 else None
    return _nothing(job, "calibration") | {"vin": vin, "vehicle": vehicle}


def day_facts(job: str) -> Facts:
    """The day's equipment check, which has no vehicle."""
    return _nothing(job, "day")


def _nothing(job: str, sort: str) -> Facts:
    plan: dict[str, Any] = {"added": {}, "struck": {}}
    empty = {"repair_order": "", "vin": "", "vehicle": None, "odometer_km": None, "lamps": "", "codes": "", "bay": None}
    return {"id": job, "sort": sort, **empty, "reasons": [], "qualifiers": {}, "plan": plan}


def sheet_job(facts: Facts, kit: Kit | None = None) -> dict[str, Any]:
    """The sheet's own `job` object; `kit` has the plan of its bay, which its drawings show."""
    bay = (kit or {}).get(facts["bay"] or "", {})
    job = {name: facts[name] for name in ABOUT}
    return job | {"floor_plan": {"name": bay["name"], **bay["plan"]}} if bay.get("plan") else job


def take(library: Library, facts: Facts, form: Form, kit: Kit) -> Facts:
    """The facts after what was typed. Raises BadInput, and then nothing of it is taken.

    With `go` = `plan` the job has to be complete as well.
    """
    vehicle = library.vehicles.get(form.get("vehicle", ""))
    if vehicle is None:
        raise _no_vehicle()
    texts = {name: _text(form, name, longest) for name, longest in LONGEST.items()}
    odometer = read(form["odometer_km"], "odometer_km", ODOMETER_KM) if form.get("odometer_km", "").strip() else None
    after = (
        facts
        | texts
        | {
            "vehicle": vehicle.vehicle,
            "odometer_km": odometer,
            "reasons": [one for one in REASONS if one in form.get("reasons", [])],
            # The answers to another model's questions say nothing about this one.
            "qualifiers": _qualifiers(vehicle, form) if vehicle.vehicle == form.get("asked") else {},
            "bay": _bay(form, kit),
        }
    )
    if form.get("go") == "plan":
        require_complete(library, after)
    return after


def require_complete(library: Library, facts: Facts) -> None:
    """Raise BadInput naming the first thing that has to be known before the job can be planned."""
    vehicle = library.vehicles.get(facts["vehicle"] or "")
    if vehicle is None:
        raise _no_vehicle()
    if not facts["repair_order"]:
        raise BadInput("order-missing", "repair_order", "repair_order is empty; type the number of the repair order")
    if facts["odometer_km"] is None:
        raise BadInput("missing", "odometer_km", "odometer_km is missing: give a number in km")
    if not facts["reasons"]:
        raise BadInput("reasons-missing", "reasons", "reasons: none is ticked; tick why the vehicle is here")
    for one in vehicle.qualifiers:
        if one.name not in facts["qualifiers"]:
            raise BadInput("qualifier-missing", f"q-{one.name}", f"{one.name} is not answered; {one.ask}")


def known(facts: Facts) -> dict[str, Any]:
    """The facts as they stand in the form's fields."""
    odometer = facts["odometer_km"]
    return facts | {"odometer_km": "" if odometer is None else number(odometer)}


def typed(form: Form) -> dict[str, Any]:
    """What was typed, as it stands in the form's fields once more."""
    answers = {name.removeprefix("q-"): value for name, value in form.items() if name.startswith("q-")}
    return {**form, "reasons": form.get("reasons", []), "qualifiers": answers}


def _no_vehicle() -> BadInput:
    return BadInput("vehicle-missing", "vehicle", "vehicle is not chosen; choose the model from the list")


def _text(form: Form, name: str, longest: int) -> str:
    text = str(form.get(name, "")).strip()
    if len(text) > longest:
        raise BadInput("text-too-long", name, f"{name} has {len(text)} characters; at most {longest} are kept")
    return text


def _qualifiers(vehicle: Vehicle, form: Form) -> dict[str, str]:
    given = {}
    for one in vehicle.qualifiers:
        value, known = form.get(f"q-{one.name}", ""), [option.value for option in one.options]
        if value and value not in known:
            what = f"{one.name}={shown(value)} is none of {', '.join(known)}"
            raise BadInput("qualifier-unknown", f"q-{one.name}", what)
        if value:
            given[one.name] = value
    return given


def _bay(form: Form, kit: Kit) -> str | None:
    code = form.get("bay", "")
    if code and code not in [known for known, _name in bays(kit)]:
        raise BadInput("bay-unknown", "bay", f"bay={shown(code)} is none of the shop's bays; choose one of the list")
    return code or None
