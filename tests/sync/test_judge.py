"""An event that its phone decided on rightly is let in, whatever the server knows of by then that the phone did not."""

from pathlib import Path

from tests.cast import NOOR
from tests.core.test_freeze import frozen
from webapp.core.events import Event
from webapp.core.fold import fold
from webapp.core.kinds.common import Person
from webapp.core.procedure import Library
from webapp.core.sheet import content_hash
from webapp.sync.judge import Shop, judge

AT = "2026-03-02T09:00:00.000Z"
FLOOR = {"fall_mm": 1.5, "u_mm": 0.63}
PART = {
    "name": "board_left_height", "label": "Left board's centre", "unit": "mm", "value": 1260, "U": 1.5,
    "low": 1258.5, "high": 1264.5, "verdict": "inside", "p_inside": 0.99, "floor": FLOOR,
}  # fmt: skip


def test_a_height_comes_in_though_its_floor_survey_is_not_known_any_more(library: Library) -> None:
    """Another phone undid the survey in the meantime, so the server decides otherwise; its pages can show it."""
    sheet = frozen(library)
    (step,) = [one for one in sheet["steps"] if one["id"] == "forward-camera-static/board-heights"]
    assert any("above" in one for one in step["measure"]["readings"])
    result = {"method": "values", "sets": 1, "verdict": "inside", "parts": [PART]}
    rule = {"name": "guard band w = U", "edition": "JCGM 106:2012", "coverage": 2}
    data = {
        "readings": {"board_left_height": 1260, "board_right_height": 1260}, "result": result, "verdict": "inside",
        "rule": rule, "instruments": {}, "held": False,
    }  # fmt: skip
    event = Event(
        id="e-1", job="j-1", device="phone-1", seq=1, kind="measured", step=step["id"], attempt=1, turn=0, at=AT,
        mono_s=1.0, boot="b", person=NOOR.badge, data=data,
    )  # fmt: skip
    people = {NOOR.badge: Person(NOOR.badge, NOOR.role, NOOR.name)}
    shop = Shop(now=AT, kit={}, people=people, photos=Path("photos"))
    after, found = judge(sheet, content_hash(sheet), fold(sheet, ()), event, shop, lambda: False)
    assert after.step(step["id"]).measured is not None
    assert found == []  # it did not know all, so that it says otherwise is no fault of its own
