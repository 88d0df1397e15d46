"""Sheets, library and refusals as the reader's language has them. What is kept, and decided on, stays as it is."""

from typing import cast

from flask import current_app

from webapp.core.procedure import Library
from webapp.core.sheet import Sheet
from webapp.library.tongues import read_in
from webapp.messages import Tongue, tongue
from webapp.web import db


def in_words(sheet: Sheet) -> Sheet:
    """The sheet as it is read here."""
    spoken = tongue()
    return sheet if spoken.wording.plain else read_in(spoken, sheet, db.library())


def library() -> Library:
    """The library as it is read here."""
    spoken, held = tongue(), db.library()
    if spoken.wording.plain:
        return held
    # A release brings tongues of its own: what was made for those before it goes.
    known = cast(dict[Tongue, tuple[Library, Library]], current_app.extensions.setdefault("worded", {}))
    if spoken not in known or known[spoken][0] is not held:
        for old in [one for one in known if one.code == spoken.code]:
            del known[old]
        known[spoken] = held, spoken.wording.within(held)
    return known[spoken][1]
