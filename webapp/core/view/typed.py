"""What was typed into a form that was refused, for the same form to show again. Nothing is lost but a PIN."""

from typing import Any

KEPT = ("text", "reason", "code")


def typed(given: dict[str, str], wrong: str) -> dict[str, Any]:
    """`typed` holds the fields by form (a result's by its outcome) and the badge; `amiss` marks the field to mend."""
    form = given.get("do", "")
    if form == "result":
        form = f"result-{given.get('outcome', '')}"
    kept = {name: given[name] for name in KEPT if given.get(name)}
    return {
        "typed": {form: {"opened": True, **kept}, "badge": given.get("badge", "")},
        "amiss": {wrong: True} if wrong else {},
    }
