"""The languages that a shop's pages speak, each with what it makes of the library's English and of refusals."""

from collections.abc import Mapping
from pathlib import Path

from webapp.core.procedure import Library, Vehicle
from webapp.core.sheet import Sheet
from webapp.core.shelf import lettering
from webapp.core.wording import Wording
from webapp.messages import ENGLISH, Tongue, english, languages, plain_words

from .translations import forms, translated, translations


def tongues(folder: Path, beneath: Mapping[str, Tongue] | None = None) -> dict[str, Tongue]:
    """Every language that has messages, by its code. `folder` is that of the procedures.

    What of the library, or of the refusals, a language does not translate reads as `beneath`, else in English.
    """
    documents, known = translations(folder), beneath or {}
    return {
        code: Tongue(
            code,
            Wording(
                {**(known[code].wording.texts if code in known else {}), **translated(documents.get(code, []))},
                forms(code),
                plain_words(code)["decimal-sign"],
            ),
        )
        for code in languages()
        if code != ENGLISH
    } | {ENGLISH: Tongue()}


_drawn: dict[tuple[int, Tongue], tuple[Vehicle, dict[str, str]]] = {}


def drawings(library: Library, vehicle: str, spoken: Tongue) -> dict[str, str]:
    """The texts of a vehicle's drawings in that language, by the same in English: drawn once, when first asked for."""
    known = library.vehicles.get(vehicle)
    if known is None:
        return {}
    asked = id(known), spoken  # kept beside it, so that no other one comes to have its id
    if asked not in _drawn:
        _drawn[asked] = known, lettering(library, known, english, spoken.say)
    return _drawn[asked][1]


def read_in(spoken: Tongue, sheet: Sheet, library: Library) -> Sheet:
    """The sheet in that language. An old one's drawings stay in English where the library would draw others now."""
    if spoken.wording.plain:
        return sheet
    drawn = drawings(library, sheet["vehicle"]["id"], spoken) if sheet["vehicle"] else {}
    return spoken.wording.on(sheet, drawn)
