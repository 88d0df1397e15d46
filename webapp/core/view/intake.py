"""The VIN, read back in groups; then what the vehicle is and why it is here."""

from collections.abc import Mapping, Sequence
from typing import Any

from ..intake import Facts
from ..kit import Kit, bays
from ..plan import vehicles_for
from ..procedure import REASONS, Library, Vehicle
from ..sheet import Say
from ..vin import Vin, groups

View = dict[str, Any]
TEXTS = ("repair_order", "odometer_km", "lamps", "codes")


def new_view(say: Say, error: str | None = None, text: str = "", confirm: Vin | None = None) -> View:
    """A VIN is asked for; or one that may have been misread is to be compared with the vehicle."""
    if confirm is None:
        return {"new": {"error": error, "text": text, "confirm": None}}
    misread = confirm.check_digit == "mismatch"
    why = say("new-confirm-mismatch") if misread else say("new-confirm-unsure")
    compared = {"vin": confirm.text, "groups": " ".join(groups(confirm.text)), "why": why}
    return {"new": {"error": None, "text": "", "confirm": compared}}


def intake_view(
    library: Library,
    facts: Facts,
    values: Mapping[str, Any],
    kit: Kit,
    say: Say,
    others: Sequence[Facts] = (),
    cleaned: Sequence[str] = (),
    error: View | None = None,
) -> View:
    """`values` are what stands in the fields, known or typed; `others` are other jobs on the same VIN."""
    fitting = vehicles_for(library, facts["vin"])
    models = [*fitting, *[one for one in library.vehicles.values() if one not in fitting]]
    # Where the model was unchosen, what was typed below it still stands on the page, under the questions it answers.
    vehicle = library.vehicles.get(values.get("vehicle") or values.get("asked") or "")
    wrong = error["field"] if error else ""
    return {
        "intake": {
            "url": f"/jobs/{facts['id']}",
            "groups": list(groups(facts["vin"])),
            "cleaned": [say(f"cleaned-{one}") for one in cleaned],
            "others": [_other(one, say) for one in others],
            "error": error["message"] if error else None,
            "models": [_model(one, one in fitting, values, say) for one in models],
            "fits": bool(fitting),
            "wrong": {wrong: True} if wrong else {},
            "vehicle": _asked(vehicle, values, kit, say) if vehicle else None,
        }
    }


def _other(facts: Facts, say: Say) -> View:
    return {"url": f"/jobs/{facts['id']}", "order": facts["repair_order"] or say("today-no-order")}


def _model(vehicle: Vehicle, fits: bool, values: Mapping[str, Any], say: Say) -> View:
    words = f"{vehicle.maker} {vehicle.model} ({vehicle.years})"
    chosen = values.get("vehicle") == vehicle.vehicle
    return {"name": vehicle.vehicle, "words": f"{words} – {say('intake-matches')}" if fits else words, "chosen": chosen}


def _asked(vehicle: Vehicle, values: Mapping[str, Any], kit: Kit, say: Say) -> View:
    """What this model asks, and what every job asks."""
    reasons, given = values.get("reasons", []), values.get("qualifiers", {})
    questions = [
        {
            "name": one.name,
            "ask": one.ask,
            "options": [
                {"value": option.value, "label": option.label, "chosen": given.get(one.name) == option.value}
                for option in one.options
            ],
        }
        for one in vehicle.qualifiers
    ]
    return {
        "name": vehicle.vehicle,
        "questions": questions,
        "bays": [{"code": code, "name": name, "chosen": values.get("bay") == code} for code, name in bays(kit)],
        "reasons": [{"name": one, "words": say(f"reason-{one}"), "chosen": one in reasons} for one in REASONS],
        **{name: values.get(name) or "" for name in TEXTS},
    }
