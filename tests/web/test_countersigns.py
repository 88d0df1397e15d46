"""A supervisor vouches: by badge and PIN, for a step of its own or at a hold point."""

import pytest

from tests.cast import ADA, ILYA, NOOR, TOMAS, Someone, scan_badge

from .job import Begin


def test_an_apprentices_hold_point_stops_until_a_supervisor_has_looked(at: Begin) -> None:
    job = at("/chock", ILYA)
    job.tap("confirm")
    assert job.step["id"] == "reference-axis/chock"
    assert job.state.step("reference-axis/chock").status == "held"
    page = job.page()
    assert "Hold point" in page.text
    assert page.form().fields["do"] == "countersign"
    assert job.send(job.form("confirm")).status_code == 403
    job.tap("countersign", badge=ADA.label, pin=ADA.pin)
    done = job.state.step("reference-axis/chock")
    assert (done.status, done.done_by, done.countersigned_by) == ("done", ILYA.badge, ADA.badge)


def test_a_technician_passes_an_apprentices_hold_point(at: Begin) -> None:
    job = at("/chock")
    job.tap("confirm")
    assert job.step["id"] != "reference-axis/chock"


@pytest.mark.parametrize("person", [NOOR, ILYA, ADA])
def test_a_hold_point_for_everyone_stops_everyone(at: Begin, person: Someone) -> None:
    job = at("/secured", person)
    job.tap("confirm")
    assert job.state.step("reference-axis/secured").status == "held"


def test_whoever_scanned_no_badge_is_held_like_an_apprentice(at: Begin) -> None:
    job = at("/chock")
    job.client.post("/badge", data={"leave": "1"})
    job.tap("confirm")
    assert job.state.step("reference-axis/chock").status == "held"


WITNESSES = [
    ({"badge": "", "pin": ""}, 403, "badge is empty; a supervisor scans their badge"),
    ({"badge": "", "pin": ADA.pin}, 400, "badge is empty"),
    ({"badge": ADA.label, "pin": ""}, 403, f"pin is not that of {ADA.name}"),
    ({"badge": ADA.label, "pin": "1111"}, 403, f"pin is not that of {ADA.name}"),
    ({"badge": ADA.label, "pin": TOMAS.pin}, 403, f"pin is not that of {ADA.name}"),
    ({"badge": NOOR.label, "pin": "1234"}, 403, "Noor Brandt is technician; a supervisor or manager must countersign"),
    ({"badge": ILYA.label, "pin": ""}, 403, "Ilya Sorensen is apprentice; a supervisor or manager must countersign"),
    ({"badge": "BAY.T.P-1.V", "pin": ADA.pin}, 400, "badge=P-1 is a target's label; scan the supervisor's badge"),
    ({"badge": ADA.badge, "pin": ADA.pin}, 400, f"badge='{ADA.badge}' must be a label of this shop"),
    ({"badge": "BAY.P.DH6RM4.0", "pin": ADA.pin}, 400, "has the check character 0, which does not fit"),
]


@pytest.mark.parametrize(("witness", "status", "says"), WITNESSES)
def test_who_may_not_vouch_is_told_why_and_the_step_stays(
    at: Begin, witness: dict[str, str], status: int, says: str
) -> None:
    job = at("/release")
    page = job.refused("countersign", status, **witness)
    assert says in page.alert
    assert page.one("input", name="badge")["value"] == witness["badge"]
    assert page.value("pin") == [""]  # a PIN is never sent back
    assert job.step["id"] == "hand-over/release"
    job.tap("countersign", badge=ADA.label, pin=ADA.pin)  # and the right one still can
    assert job.state.current is None


def test_nobody_countersigns_their_own_work(at: Begin) -> None:
    job = at("/secured", ADA)
    job.tap("confirm")
    page = job.refused("countersign", 403, badge=ADA.label, pin=ADA.pin)
    assert "nobody countersigns their own work" in page.alert
    job.tap("countersign", badge=TOMAS.label, pin=TOMAS.pin)
    assert job.state.step("reference-axis/secured").countersigned_by == TOMAS.badge


def test_a_supervisor_does_not_countersign_for_themselves_by_handing_the_phone_on(at: Begin) -> None:
    job = at("/secured", ADA)
    job.tap("confirm")
    scan_badge(job.client, NOOR)
    assert "nobody countersigns their own work" in job.refused("countersign", 403, badge=ADA.label, pin=ADA.pin).alert
