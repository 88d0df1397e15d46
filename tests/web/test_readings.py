"""Readings on the checklist: as people type them, judged against their limits, and never lost."""

from random import Random

import pytest
from sqlalchemy.engine import Engine

from tests.cast import ADA, ILYA, NOOR
from webapp.core.measure import judged
from webapp.storage.rehearsal.readings import readings_askew, readings_inside

from .job import AtJob, Begin
from .markup import Page
from .trouble import Trouble, full, locked

SQUARE = "forward-camera-static/square"


@pytest.fixture
def pumping(at: Begin) -> AtJob:
    """The step that reads four tyre pressures."""
    return at("/tyre-pressures")


@pytest.fixture
def taping(at: Begin) -> AtJob:
    """The step that squares the stand with four tapes."""
    return at(SQUARE, answers={"placing": "tape"})


def inside(job: AtJob, **more: str) -> dict[str, str]:
    """Readings as they should be, but for what the test changes."""
    return readings_inside(job.step["measure"], Random(1)) | more


def first(job: AtJob) -> str:
    name: str = judged.fields(job.step["measure"])[0][0]
    return name


def target_pressure(job: AtJob) -> float:
    one = job.step["measure"]["readings"][0]
    return round((float(one["low"]) + float(one["high"])) / 2, 1)


def test_readings_inside_their_limits_end_the_step(pumping: AtJob) -> None:
    pumping.tap("measure", **inside(pumping))
    assert pumping.state.step("vehicle-ready/tyre-pressures").status == "done"


def test_what_is_wanted_stands_at_the_field_before_it_is_read(pumping: AtJob) -> None:
    one = pumping.step["measure"]["readings"][0]
    page = pumping.page()
    assert one["label"] in page.text
    assert page.one("span", id=f"w-{one['name']}").text.startswith(f"{one['low']:g} to {one['high']:g}")


@pytest.mark.parametrize("spelling", ["{:.1f}", "{:.1f} kPa", "{:.1f}kPa", " {:.1f} ", "{:.1f} KPA", "+{:.1f}"])
@pytest.mark.parametrize("decimal", [".", ","])
def test_a_reading_may_have_a_comma_or_a_point_and_its_own_unit(pumping: AtJob, spelling: str, decimal: str) -> None:
    name, value = first(pumping), target_pressure(pumping)
    pumping.tap("measure", **inside(pumping, **{name: spelling.format(value).replace(".", decimal)}))
    assert pumping.events()[-1].data["readings"][name] == value


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "{} is missing: give a number in kPa"),
        ("  ", "{} is missing: give a number in kPa"),
        ("2.4 bar", "{}='2.4 bar' must be in kPa"),
        ("240 mm", "{}='240 mm' must be in kPa"),
        ("inf", "{}='inf' must be a finite number in kPa"),
        ("-Infinity", "{}='-Infinity' must be a finite number in kPa"),
        ("∞", "{}='∞' must be a finite number in kPa"),
        ("NaN", "{}='NaN' must be a finite number in kPa"),
        ("1e999", "{}='1e999' must be"),
        ("-5", "{}='-5' must lie within 0 to 1200"),
        ("240,0,0", "{}='240,0,0' must be one number in kPa"),
        ("230 / 240", "{}='230 / 240' must be one number in kPa"),
        ("about 240", "{}='about 240' must be one number in kPa"),
        ("<b>240</b>", "{}='<b>240</b>' must be one number in kPa"),
        ("2" * 3000, "(3000 characters) must be one number in kPa"),
    ],
)
def test_a_reading_that_cannot_be_is_named_and_all_that_was_typed_is_still_there(
    pumping: AtJob, typed: str, says: str
) -> None:
    name = first(pumping)
    given = inside(pumping, **{name: typed})
    page = pumping.refused("measure", **given)
    assert says.format(name) in page.alert
    assert page.form().fields.items() >= given.items()
    assert [one["name"] for one in page.all("input", aria_invalid="true")] == [name]


def test_a_pressure_far_off_is_outside_and_asks_for_mending_not_for_repeats(pumping: AtJob) -> None:
    name = first(pumping)
    pumping.tap("measure", **inside(pumping, **{name: "120"}))
    page = pumping.page()
    assert "⊗ Outside" in page.text
    assert "Put right: measure again" in page.text
    assert "Supervisor: let it stand" not in page.text
    assert pumping.step["id"] == "vehicle-ready/tyre-pressures"
    again = Page(pumping.client.get(f"{pumping.url}?again=1").text)
    assert again.form().fields["do"] == "measure"
    pumping.tap("measure", **inside(pumping))
    assert pumping.state.step("vehicle-ready/tyre-pressures").status == "done"


def close(job: AtJob) -> dict[str, str]:
    """The first pressure just within its limit, nearer than the gauge can tell."""
    one = job.step["measure"]["readings"][0]
    return inside(job, **{one["name"]: f"{float(one['high']) - 0.1:.1f}"})


def test_a_reading_too_close_to_call_is_repeated_or_left_to_a_supervisor(pumping: AtJob) -> None:
    given = close(pumping)
    pumping.tap("measure", **given)
    page = pumping.page()
    assert "◐ Too close to call" in page.text
    assert "Measure again" in page.text
    pumping.tap("measure", **given)
    assert "Repeating will not settle it" in pumping.page().text
    form = pumping.page().form(do="overrule").fields
    refusals = (
        ({"reason": "", "badge": ADA.label, "pin": ADA.pin}, 400, "reason is empty; say why this reading may stand"),
        ({"reason": "Warm tyres.", "badge": ADA.label, "pin": "9999"}, 403, "pin is not that of Ada Pereira"),
        ({"reason": "Warm tyres.", "badge": NOOR.label, "pin": ""}, 403, "Noor Brandt is technician"),
        ({"reason": "Warm tyres.", "badge": "", "pin": ""}, 403, "badge is empty; a supervisor scans"),
    )
    for given, status, says in refusals:
        answer = pumping.send({**form, **given})
        assert answer.status_code == status
        page = Page(answer.text)
        assert says in page.alert
        assert page.form(do="overrule").fields["reason"] == given["reason"]
    answer = pumping.send({**form, "reason": "Warm tyres.", "badge": ADA.label, "pin": ADA.pin})
    assert answer.status_code == 303
    step = pumping.state.step("vehicle-ready/tyre-pressures")
    assert (step.status, step.overruled_by, step.reason) == ("done", ADA.badge, "Warm tyres.")
    assert "Let stand by Ada Pereira: Warm tyres." in pumping.page("/record").text


def test_nobody_lets_stand_what_is_outside(pumping: AtJob) -> None:
    pumping.tap("measure", **inside(pumping, **{first(pumping): "120"}))
    page = pumping.refused("overrule", 403, reason="It will do.", badge=ADA.label, pin=ADA.pin)
    assert "only a reading that is too close to call can be let stand" in page.alert


# --- four tapes


def test_four_tapes_of_a_square_stand_are_inside(taping: AtJob) -> None:
    taping.tap("measure", **inside(taping))
    assert taping.state.step(SQUARE).measured is not None
    assert taping.state.step(SQUARE).status == "done"


def test_four_tapes_that_do_not_fit_together_are_measured_again_and_blame_nobody(taping: AtJob) -> None:
    good = inside(taping)
    given = good | {"left_right": str(round(float(good["left_right"]) + 12))}
    taping.tap("measure", **given)
    page = taping.page()
    assert "◐ These four do not fit together" in page.text
    assert "one tape was misread. Measure all four again." in page.text
    assert "Supervisor: let it stand" not in page.text
    assert taping.state.step(SQUARE).status == "open"
    taping.tap("measure", **good)
    assert taping.state.step(SQUARE).status == "done"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("-1506", "left_left='-1506' must lie within"),
        ("0", "left_left='0' must lie within"),
        ("1,506", "left_left='1,506' must lie within"),  # a decimal comma: no tape is that short
        ("1506 cm", "left_left='1506 cm' must be in mm"),
        ("inf mm", "left_left='inf mm' must be a finite number in mm"),
        ("99999", "left_left='99999' must lie within"),
    ],
)
def test_a_tape_that_cannot_be_is_named(taping: AtJob, typed: str, says: str) -> None:
    given = inside(taping, left_left=typed)
    page = taping.refused("measure", **given)
    assert says in page.alert
    assert page.form().fields.items() >= given.items()


def test_a_stand_askew_gets_its_moves_in_whole_millimetres_and_the_tapes_to_expect(taping: AtJob) -> None:
    taping.tap("measure", **readings_askew(taping.step["measure"], Random(3)))
    page = taping.page()
    found = taping.state.step(SQUARE).measured
    assert found is not None
    assert found["verdict"] in ("outside", "too-close-to-call")
    moves = [one.text for one in page.all("p", class_="advice")]
    assert [move.split()[0] for move in moves] == [str(number) for number in range(1, len(moves) + 1)]
    assert any("mm" in move for move in moves)
    assert "Then the tapes read:" in page.text
    expected = next(one for one in found["advice"] if one["do"] == "expect")["tapes_mm"]
    for value in expected.values():
        assert f"{round(value):,}".replace(",", " ") in page.text


def test_an_apprentices_squaring_is_looked_at(at: Begin) -> None:
    job = at(SQUARE, ILYA, answers={"placing": "tape"})
    job.tap("measure", **inside(job))
    assert job.state.step(SQUARE).status == "held"


# --- a disk that is full, a database that is locked


@pytest.mark.parametrize(
    ("trouble", "says"), [(locked, "The database is busy"), (full, "The disk of the shop's computer is full")]
)
def test_readings_that_cannot_be_kept_stay_in_their_fields(
    impatient: Engine, pumping: AtJob, trouble: Trouble, says: str
) -> None:
    given = inside(pumping, **{first(pumping): "120"})  # outside, so that the step can be measured again and again
    with trouble(impatient):
        kept = 0
        while (answer := pumping.send(pumping.form("measure", **given))).status_code == 303 and kept < 100:
            kept += 1
    assert answer.status_code == 503
    page = Page(answer.text)
    assert says in page.alert
    assert "Nothing was kept" in page.alert
    assert page.form().fields.items() >= given.items()
    assert sum(event.kind == "measured" for event in pumping.events()) == kept
    pumping.tap("measure", **inside(pumping))
    assert pumping.state.step("vehicle-ready/tyre-pressures").status == "done"


def test_a_scan_and_a_note_in_a_locked_database_can_be_sent_again(impatient: Engine, at: Begin) -> None:
    job = at("/hang-boards")
    text = job.label()
    with locked(impatient):
        scan = job.send(job.form("scan", text=text))
        note = job.send({"do": "note", "text": "Rain."})
    assert (scan.status_code, note.status_code) == (503, 503)
    assert Page(note.text).form(do="note").fields["text"] == "Rain."
    assert job.events()[-1].kind != "scanned"
    job.tap("scan", text=text)
    assert job.send({"do": "note", "text": "Rain."}).status_code == 303


def test_a_reading_may_be_taken_again_before_there_is_a_verdict(pumping: AtJob) -> None:
    good = inside(pumping)
    pumping.tap("measure", **good, more="1")
    step = pumping.state.step("vehicle-ready/tyre-pressures")
    assert (step.status, len(step.sets), pumping.events()[-1].data["verdict"]) == ("open", 1, "read-again")
    page = pumping.page().text
    assert f"So far: {float(good[first(pumping)]):g}" in page.replace("\u2068", "").replace("\u2069", "")
    pumping.tap("measure", **good)
    assert pumping.state.step("vehicle-ready/tyre-pressures").status == "done"
    part = pumping.events()[-1].data["result"]["parts"][0]
    assert (part["n"], part["s"]) == (2, 0.0)


def test_the_shops_tape_is_offered_and_an_unknown_one_refused(at: Begin) -> None:
    job = at("/board-heights")
    page = job.page()
    assert "Tape, 5 m, class II" in page.one("select", id="instrument-tape").text
    refused = job.refused("measure", **inside(job), **{"instrument-tape": "T-NONE"})
    assert "instrument-tape='T-NONE' is no tape of the shop's kit" in refused.text
    job.tap("measure", **inside(job))
    assert job.events()[-1].data["instruments"]["tape"]["name"] == "Tape, 5 m, class II"
