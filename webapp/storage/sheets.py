"""Frozen sheets, named by the hash of what is in them: kept once, never changed."""

from pydantic_core import from_json
from sqlalchemy import bindparam, select
from sqlmodel import Session

from webapp.core import sheet as core
from webapp.core.errors import Conflict, NotFound
from webapp.storage import tables
from webapp.storage.direct import Direct

_sheet = tables.Sheet.__table__  # type: ignore[attr-defined]
_body = Direct(select(_sheet.c.body).where(_sheet.c.hash == bindparam("name")))


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
    # Half a megabyte. In this spelling every reader of JSON finds the same, so it may be one that is quick.
    sheet: core.Sheet = from_json(sheet_text(db, name))
    return sheet


def sheet_text(db: Session, name: str) -> str:
    """Return the sheet of that hash in the spelling that it is of.

    Raises NotFound (`sheet-unknown`), or Conflict (`sheet-damaged`) where the text no longer is what its name says.
    """
    found = _body.rows(db.connection(), name=name)
    if not found:
        raise NotFound("sheet-unknown", "sheet", f"sheet='{name}' is not kept here")
    text: str = found[0][0]
    if core.text_hash(text) != name:
        what = f"sheet='{name}' was changed after it was frozen; restore the database from a backup"
        raise Conflict("sheet-damaged", "sheet", what)
    return text
