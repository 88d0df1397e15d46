"""Whether the clear floor fits the bay, in words: as it was worked out with the plan, or that it was not."""

from typing import Any

from ..lengths import MM, Unit, roomy, roomy_unit
from ..numbers import rounded
from ..sheet import Say
from .figures import length

UNKNOWN = {"known": False}
"""What a plan made by the shop's server says where the bay's size is not known."""


def fit_view(fit: dict[str, Any] | None, say: Say, unit: Unit = MM) -> dict[str, Any]:
    """`fit` is core.measure.area.Fit as JSON with the bay's name; None where it was not worked out."""
    if fit is None or not fit["known"]:
        return {"class": "close", "text": f"◐ {say('area-no-plan' if fit else 'area-unknown')}"}
    clear, by = length(rounded(abs(fit["clearance_mm"]), 0), unit), fit["by"] or "edge"
    if fit["fits"] and fit["middle"]:
        return {"class": "inside", "text": f"● {say('area-fits-middle', bay=fit['bay'], clear=clear)}"}
    where = _where(fit, say, unit)
    if fit["fits"]:
        return {"class": "inside", "text": f"● {say('area-fits', bay=fit['bay'], clear=clear, by=by, where=where)}"}
    told = say("area-not", bay=fit["bay"], short=clear, by=by, where=where)
    return {"class": "outside", "text": f"⊗ {told} {_shift(fit['shift'], say, unit)}"}


def _where(fit: dict[str, Any], say: Say, unit: Unit) -> str:
    along, aside = (roomy(abs(fit[name]), unit) for name in ("x_mm", "y_mm"))
    x, y = "ahead" if fit["x_mm"] >= 0 else "behind", "left" if fit["y_mm"] >= 0 else "right"
    return say("area-where", along=along, x=x, aside=aside, y=y, unit=roomy_unit(unit))


def _shift(shift: list[int] | None, say: Say, unit: Unit) -> str:
    if shift is None:
        return say("area-no-shift")
    x, y = shift
    moves = [say("area-shift-x", length=length(abs(x), unit), to="forward" if x > 0 else "back")] if x else []
    moves += [say("area-shift-y", length=length(abs(y), unit), to="left" if y > 0 else "right")] if y else []
    return say("area-shift", moves=", ".join(moves))
