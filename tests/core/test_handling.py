"""Scans, targets and waits for equipment, added up from small journals by hand."""

from typing import Any

from webapp.core.handling import Told, handling
from webapp.core.labels import Label, label_text

BOARD, ARM = label_text(Label("target", "CBL-KRJ8")), label_text(Label("spot", "SLA-R4CD"))


def told(kind: str, mono_s: float, job: str = "J-1", boot: str = "one", step: str = "camera/hang", **data: Any) -> Told:
    return Told(job, kind, step, mono_s, boot, data)


def scan(at_s: float, text: str, verdict: str, holding: str | None = None, placed: Any = None, **more: Any) -> Told:
    return told("scanned", at_s, text=text, verdict=verdict, holding=holding, placed=placed, **more)


HOMES = {"CBL-KRJ8": "RBL-7Q2M"}
HUNG = {"target": "CBL-KRJ8", "spot": "SLA-R4CD"}


def test_wrong_scans_are_counted_by_the_label_that_was_scanned() -> None:
    found = handling(
        [
            scan(0, BOARD, "match", "CBL-KRJ8"),
            scan(5, "https://example.org", "not-ours", "CBL-KRJ8"),
            scan(9, ARM, "right-target-wrong-spot", "CBL-KRJ8"),
            scan(12, ARM, "match", placed=HUNG),
            scan(15, ARM, "already-placed"),
        ],
        HOMES,
    )
    assert {code: (one.n, one.wrongs) for code, one in found.labels.items()} == {
        "CBL-KRJ8": (1, 0),
        "SLA-R4CD": (3, 1),
        "": (1, 1),
    }
    assert found.labels["SLA-R4CD"].wrong == {"right-target-wrong-spot": 1}


def test_a_target_is_carried_from_its_own_scan_to_that_of_its_spot() -> None:
    found = handling(
        [
            scan(0, BOARD, "match", "CBL-KRJ8"),
            scan(40, ARM, "right-target-wrong-spot", "CBL-KRJ8"),
            scan(90, ARM, "match", placed=HUNG),
        ],
        HOMES,
    )
    assert found.carried_s == {"CBL-KRJ8": [90]}


def test_what_is_placed_without_a_spot_is_not_carried() -> None:
    found = handling([scan(0, BOARD, "match", placed={"target": "CBL-KRJ8", "spot": None})], HOMES)
    assert found.carried_s == {}


def test_no_time_is_told_across_a_broken_clock_or_two_jobs_or_backwards() -> None:
    placed = {"text": ARM, "verdict": "match", "holding": None, "placed": HUNG}
    first = scan(50, BOARD, "match", "CBL-KRJ8")
    for other in (
        told("scanned", 90, boot="two", **placed),
        told("scanned", 90, job="J-2", **placed),
        told("scanned", 10, **placed),
    ):
        assert handling([first, other], HOMES).carried_s == {}


def test_only_waits_for_equipment_are_told_at_the_step_where_they_began() -> None:
    found = handling(
        [
            told("paused", 100, reason="equipment"),
            told("resumed", 400),
            told("paused", 500, reason="break"),
            told("resumed", 900),
            told("paused", 10, job="J-2", reason="equipment", step="camera/level"),
            told("resumed", 70, job="J-2", step="camera/level"),
            told("paused", 10, job="J-3", reason="equipment"),
        ],
        HOMES,
    )
    assert found.waits_s == {"camera/hang": [300], "camera/level": [60]}
    assert found.waiting_jobs == {"J-1", "J-2"}


def test_a_target_that_is_put_away_was_not_hung() -> None:
    home = {"target": "CBL-KRJ8", "spot": "RBL-7Q2M"}
    rack = label_text(Label("spot", "RBL-7Q2M"))
    found = handling([scan(0, BOARD, "match", "CBL-KRJ8"), scan(20, rack, "match", placed=home)], HOMES)
    assert found.carried_s == {}
