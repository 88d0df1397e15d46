"""Frozen sheets, named by the hash of what is in them: kept once, never changed."""

import json

from sqlmodel import Session

from webapp.core import sheet as core
from webapp.core.errors import Conflict, NotFound
from webapp.storage import tables


def keep_sheet(db: Session, sheet: core.Sheet) -> str:
    """Keep the sheet and return its hash; a sheet that is there already is left as it is."""
    return keep_text(db, core.canonical(sheet))


def keep_text(db: Session, text: str) -> str:
    """As `keep_sheet`, of a sheet in its canonical spelling."""
    name = core.text_hash(text)
    if db.get(tables.Sheet, name) is None:
        db.add(tables.Sheet(hash=name, body=text))
        db.flush()  # a job that names it may follow in the same transaction
    return name


def read_sheet(db: Session, name: str) -> core.Sheet:
    """Return the sheet of that hash. Raises as `sheet_text` does."""
    sheet: core.Sheet = json.loads(sheet_text(db, name))
    return sheet


def sheet_text(db: Session, name: str) -> str:
    """Return the sheet of that hash in the spelling that it is of.

    Raises NotFound (`sheet-unknown`), or Conflict (`sheet-damaged`) where the text no longer is what its name says.
    """
    found = db.get(tables.Sheet, name)
    if found is None:
        raise NotFound("sheet-unknown", "sheet", f"sheet='{name}' is not kept here")
    if core.text_hash(found.body) != name:
        what = f"sheet='{name}' was changed after it was frozen; restore the database from a backup"
        raise Conflict("sheet-damaged", "sheet", what)
    return found.body
