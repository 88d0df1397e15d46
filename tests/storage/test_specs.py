"""The shop's own vehicles: revisions are only added, one writes and another approves, the last decision counts."""

import pytest
from sqlalchemy import text
from sqlalchemy.engine import Engine

from tests.cast import ADA, TOMAS
from webapp.core.errors import Conflict, NotAllowed, NotFound, Stale
from webapp.core.procedure import Library
from webapp.library.own import shipped
from webapp.paths import PROCEDURES
from webapp.storage import specs
from webapp.storage.engine import session, writing

AT = "2026-03-02T08:00:00.000Z"
WAGON = shipped(PROCEDURES).vehicles["orvane-wagon"].plain()


def keep(engine: Engine, revision: int, after: int | None, **changes: object) -> None:
    with writing(engine) as db:
        specs.save(db, WAGON | {"revision": revision} | changes, after, TOMAS.badge, AT)


def decide(engine: Engine, revision: int) -> None:
    with writing(engine) as db:
        specs.approve(db, "orvane-wagon", revision, ADA.badge, AT)


def test_a_revision_comes_back_as_it_was_saved_in_its_order(demo_engine: Engine) -> None:
    keep(demo_engine, 3, None)
    with session(demo_engine) as db:
        kept = specs.revision_of(db, "orvane-wagon", 3)
    assert kept.document == WAGON | {"revision": 3}
    assert list(kept.document["figures"]) == list(WAGON["figures"])


def test_a_save_on_what_is_no_longer_the_newest_changes_nothing(demo_engine: Engine) -> None:
    keep(demo_engine, 3, None)
    keep(demo_engine, 4, 3)
    for revision, after in ((5, 3), (5, None), (4, 4), (2, 4)):
        with pytest.raises(Stale):
            keep(demo_engine, revision, after)
    with session(demo_engine) as db:
        assert [one.revision for one in specs.revisions(db, "orvane-wagon")] == [4, 3]


def test_a_body_that_was_changed_is_told(demo_engine: Engine) -> None:
    keep(demo_engine, 3, None)
    with writing(demo_engine) as db:
        db.connection().execute(text("UPDATE spec_revision SET body = replace(body, '1500 mm', '1600 mm')"))
    with session(demo_engine) as db, pytest.raises(Conflict, match="was changed after it was saved"):
        specs.newest(db, "orvane-wagon")


def test_only_the_newest_is_approved_and_by_somebody_else(demo_engine: Engine) -> None:
    keep(demo_engine, 3, None)
    keep(demo_engine, 4, 3)
    with pytest.raises(Stale):
        decide(demo_engine, 3)
    with pytest.raises(NotFound):
        decide(demo_engine, 7)
    with writing(demo_engine) as db, pytest.raises(NotAllowed):
        specs.approve(db, "orvane-wagon", 4, TOMAS.badge, AT)
    decide(demo_engine, 4)
    with pytest.raises(Conflict):
        decide(demo_engine, 4)


def test_the_library_is_the_same_object_until_something_is_decided(demo_engine: Engine, library: Library) -> None:
    def now() -> Library:
        with session(demo_engine) as db:
            return specs.library_of(db, library)

    assert now() is library
    keep(demo_engine, 3, None, model="Wagon II")
    assert now() is library
    decide(demo_engine, 3)
    joined = now()
    assert joined is now()
    assert joined.vehicles["orvane-wagon"].model == "Wagon II"
    assert joined.approvals["orvane-wagon"].by == ADA.name
    assert joined.vehicles["tavisk-carrier"] is library.vehicles["tavisk-carrier"]
    keep(demo_engine, 4, 3, model="Wagon III")
    assert now() is joined  # what is in use stays until the next is approved
    with writing(demo_engine) as db:
        specs.withdraw(db, "orvane-wagon", ADA.badge, AT, "Leaflet recalled")
    assert now().vehicles == library.vehicles
    assert now().approvals == {}


def test_what_cannot_be_worked_is_left_out(demo_engine: Engine, library: Library) -> None:
    camera = {**WAGON["specs"]["forward-camera-static"], "figures": {}}
    keep(demo_engine, 3, None, specs={"forward-camera-static": camera})
    decide(demo_engine, 3)
    with session(demo_engine) as db:
        assert specs.library_of(db, library).vehicles == library.vehicles
