"""Heights read up from the floor, held against limits that count from the plane the tyres stand on.

A target's centre is specified above the plane of the tyre contacts; a tape or a stand's scale starts at the floor below
the target. So where the floor lies lower than that plane there, the limits of the reading lie that much higher, and how
sure the survey is of it joins how sure the tape is.
"""

from collections.abc import Mapping
from typing import Any

from ..numbers import rounded

Measure = Mapping[str, Any]
Found = Mapping[str, Any]


def surveys_contacts(step: Mapping[str, Any]) -> bool:
    """Whether the step is the floor survey that tells how the floor falls from the tyres to the targets."""
    return step["kind"] == "measure" and bool(step["measure"].get("contacts"))


def grounded(measure: Measure, survey: Found | None) -> Measure:
    """The measurement with its limits as the tape should read them; `survey` is what the floor survey found, if done.

    Each reading from the floor has then its ``floor``: {"fall_mm", "u_mm"}, or None where nothing is known of it.
    """
    if not any("above" in one for one in measure.get("readings", [])):
        return measure
    readings = [_lifted(one, _floor_at(one, survey)) for one in measure["readings"]]
    falls = {one["name"]: (one.get("floor") or {}).get("fall_mm", 0.0) for one in readings}
    compare = [{**one, **_shifted(one, falls[one["of"][0]] - falls[one["of"][1]])} for one in measure["compare"]]
    return {**measure, "readings": readings, "compare": compare}


def _floor_at(one: Mapping[str, Any], survey: Found | None) -> dict[str, float] | None:
    """The fall to a tenth of a millimetre, which is finer than anybody reads a tape."""
    above = one.get("above")
    if survey is None or above is None:
        return None
    at = above["x_mm"], above["y_mm"]
    there = next((spot for spot in survey["spots"] if (spot["x_mm"], spot["y_mm"]) == at), None)
    if there is None or "fall_mm" not in there:
        return None
    # What a sum's last digits keep from being a half is a half too, so that phone and shop say the same.
    return {"fall_mm": rounded(rounded(there["fall_mm"], 6), 1), "u_mm": there["u_fall_mm"]}


def _lifted(one: Mapping[str, Any], floor: dict[str, float] | None) -> dict[str, Any]:
    if "above" not in one:
        return dict(one)
    return {**one, "floor": floor, **(_shifted(one, floor["fall_mm"]) if floor else {})}


def _shifted(one: Mapping[str, Any], by_mm: float) -> dict[str, float | None]:
    return {key: None if one[key] is None else rounded(one[key] + by_mm, 6) for key in ("low", "high")}
