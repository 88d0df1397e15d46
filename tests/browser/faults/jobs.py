"""Jobs to work on, put into the shop as its own pages do."""

from random import Random
from typing import Any

from webapp.core.events import Event, new_id
from webapp.core.freeze import make_sheet
from webapp.core.plan import propose
from webapp.core.procedure import Library
from webapp.messages import say
from webapp.storage.engine import engine, writing
from webapp.storage.jobs import create_job
from webapp.storage.journal import append, next_seq
from webapp.storage.sheets import keep_sheet
from webapp.sync import moment

from ..shop import VIN

VEHICLE, REASONS = "orvane-wagon", ["windscreen-replaced"]


def new_job(database: str, library: Library, dice: Random) -> dict[str, Any]:
    """Start a job at the server; return its sheet."""
    vehicle, name, at = library.vehicles[VEHICLE], new_id(dice.getrandbits(30)), moment.now()
    about = {
        "repair_order": f"RO {dice.randrange(10_000, 99_999)}",
        "vin": VIN,
        "odometer_km": 48_210,
        "reasons": REASONS,
        "qualifiers": {one.name: one.options[0].value for one in vehicle.qualifiers},
        "bay": None,
    }
    job = {"id": name, "sort": "calibration", **about, "lamps": "", "codes": ""}
    sheet = make_sheet(library, job, vehicle, propose(library, vehicle, REASONS), {}, say)
    made = engine(database)
    with writing(made) as db:
        row = create_job(db, name, "calibration", at, phase="open", started_at=at, vehicle=VEHICLE, **about)
        row.sheet = keep_sheet(db, sheet)
        db.add(row)
        db.flush()
        seq = next_seq(db, "server")
        started = {"sheet": row.sheet}
        append(db, [Event(new_id(seq), name, "server", seq, "started", None, 1, 0, at, 1.0, "s", None, started)])
    made.dispose()
    return sheet
