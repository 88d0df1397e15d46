"""The baybook command: what it reads and writes, and how it ends."""

import json
import random
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from PIL import Image

from tests.decode.cards import draw_card
from tests.sheets import Hands
from webapp.cli import main
from webapp.core.replay import journal_lines
from webapp.storage.engine import engine, session
from webapp.storage.jobs import jobs_in
from webapp.storage.people import everyone

CHECK_SUM_3 = {
    "track_mm": 1560,
    "bar_mm": 1200,
    "tapes_mm": {"left_left": 1506, "right_right": 1516, "left_right": 2036, "right_left": 2041},
    "u_mm": 1,
}
SEAMS = {
    "floor": {"points": [{"x_mm": x, "y_mm": y, "height_mm": 0} for x, y in ((0, 0), (9, 0), (0, 9))], "u_mm": 1},
    "square": CHECK_SUM_3,
    "axis": {
        "front": {"left": {"x_mm": 0, "y_mm": 780}, "right": {"x_mm": 0, "y_mm": -780}},
        "rear": {"left": {"x_mm": -2800, "y_mm": 775}, "right": {"x_mm": -2800, "y_mm": -775}},
        "toe_deg": {"left": 0.2, "right": 0.1},
    },
    "decide": {"value": 0.38, "u": 0.06, "low": -0.5, "high": 0.5},
    "vin": {"text": "*0RVWA4G2XK1000417*"},
    "scan": {"expected": [{"target": "panel", "spot": None}], "placed": [], "kit": {}, "text": "BAY.T.P-1.V"},
}
ANSWERS = {
    "floor": {"a_mm", "along_mm_per_m", "across_mm_per_m", "residuals_mm", "rms_mm", "spots"},
    "square": {"fits", "distance_mm", "offset_mm", "yaw_deg", "u", "misfit", "advice"},
    "axis": {"centreline_deg", "thrust_deg", "thrust_line_deg", "origin"},
    "decide": {"verdict", "guard", "p_inside"},
    "vin": {"vin", "cleaned", "check_digit", "valid"},
    "scan": {"verdict", "target", "spot", "next"},
}


def run(*arguments: str, typed: str | None = None, **env: str) -> Result:
    return CliRunner().invoke(main, list(arguments), input=typed, env=env)


def baybook(*arguments: str, typed: str | None = None) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, as a shell would start it."""
    command = [sys.executable, "-m", "webapp.cli", *arguments]
    return subprocess.run(command, input=typed, capture_output=True, text=True, check=False)


def photo(path: Path, text: str, symbology: str = "qr") -> Path:
    draw_card(text, symbology, 6, random.Random(1))[0].save(path)
    return path


def test_help_names_every_command() -> None:
    ran = run("--help")
    assert ran.exit_code == 0
    assert set(main.commands) == {
        "serve",
        "demo",
        "rebuild",
        "record",
        "verify",
        "backup",
        "backup-key",
        "catch-up",
        "restore",
        "lint",
        "compute",
        "decode",
        "replay",
        "preview",
        "owner-data",
        "retain",
        "join",
        "send",
        "shop-code",
        "release",
    }
    assert all(f"\n  {name} " in ran.stdout for name in main.commands)
    assert all(command.help for command in main.commands.values())


def test_rebuild_says_how_many_jobs_it_worked_out(tmp_path: Path) -> None:
    assert run("demo", "--jobs", "2", "--data", str(tmp_path)).exit_code == 0
    ran = run("rebuild", "--data", str(tmp_path))
    assert ran.exit_code == 0
    assert ran.stdout == "The times of 2 finished jobs were worked out anew from the journal.\n"


def test_an_unknown_command_or_option_ends_with_status_2() -> None:
    assert run("calibrate").exit_code == 2
    assert run("lint", "--fix").exit_code == 2


# --- compute


@pytest.mark.parametrize("method", SEAMS)
def test_compute_answers_each_method_in_the_words_it_promises(method: str) -> None:
    ran = run("compute", method, typed=json.dumps(SEAMS[method]) + "\n")
    assert ran.exit_code == 0, ran.stdout
    assert set(json.loads(ran.stdout)) == ANSWERS[method]


def test_compute_in_a_shell_answers_line_by_line_and_tells_a_refusal_by_its_status() -> None:
    lines = [json.dumps({"text": text}) for text in ("0RVWA4G2XK1000417", "0RVWA4G2XK100041", "1M8GDM9AXKP042788")]
    ran = baybook("compute", "vin", typed="\n".join(lines))
    answers = [json.loads(line) for line in ran.stdout.splitlines()]
    assert [answer.get("check_digit") for answer in answers] == ["not-applicable", None, "match"]
    assert answers[1]["error"].keys() == {"code", "field", "message"}
    assert (ran.returncode, ran.stderr) == (2, "")


def test_compute_of_nothing_writes_nothing() -> None:
    ran = run("compute", "vin", typed="")
    assert (ran.exit_code, ran.stdout) == (0, "")


# --- decode


def test_decode_writes_a_line_for_each_image(tmp_path: Path) -> None:
    one = photo(tmp_path / "label.png", "BAY.T.P-1.V")
    two = photo(tmp_path / "vin.png", "1M8GDM9AXKP042788", "code-39")
    Image.new("L", (400, 300), 255).save(tmp_path / "blank.png")
    ran = run("decode", str(one), str(two), str(tmp_path / "blank.png"))
    lines = [json.loads(line) for line in ran.stdout.splitlines()]
    assert ran.exit_code == 0
    assert lines == [
        {"file": str(one), "found": [{"text": "BAY.T.P-1.V", "symbology": "qr"}]},
        {"file": str(two), "found": [{"text": "1M8GDM9AXKP042788", "symbology": "code-39"}]},
        {"file": str(tmp_path / "blank.png"), "found": []},
    ]


def test_decode_refuses_what_is_no_image_and_reads_the_others(tmp_path: Path) -> None:
    good = photo(tmp_path / "label.png", "BAY.T.P-1.V")
    (tmp_path / "notes.txt").write_text("Not a photo.")
    (tmp_path / "empty.jpg").write_bytes(b"")
    names = [str(tmp_path / name) for name in ("notes.txt", "empty.jpg", "gone.jpg")]
    ran = run("decode", *names, str(good))
    lines = [json.loads(line) for line in ran.stdout.splitlines()]
    assert ran.exit_code == 2
    assert [line["file"] for line in lines] == [*names, str(good)]
    assert [line["error"]["code"] for line in lines[:3]] == ["photo-not-an-image", "photo-empty", "file-unreadable"]
    assert lines[3]["found"][0]["text"] == "BAY.T.P-1.V"


def test_decode_without_a_file_says_how_it_is_used() -> None:
    ran = run("decode")
    assert ran.exit_code == 2
    assert "Usage:" in ran.stderr


# --- replay


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    hands = Hands()
    hands.to("tyre")
    path = tmp_path / "job.jsonl"
    path.write_text("\n".join(journal_lines(hands.sheet, hands.events)) + "\n", encoding="utf-8")
    return path


def test_replay_writes_the_state_of_a_journal_file(journal: Path) -> None:
    ran = baybook("replay", str(journal))
    assert (ran.returncode, ran.stderr) == (0, "")
    state = json.loads(ran.stdout)
    assert state["current"] == "work/tyre"
    assert state["steps"]["work/hang"]["status"] == "done"
    assert run("replay", "-", typed=journal.read_text()).stdout == ran.stdout


def test_replay_names_the_line_that_is_damaged_and_ends_with_status_2(journal: Path) -> None:
    lines = journal.read_text().splitlines()
    for broken, says in (
        (lines[1:], "line 1 has no sheet"),
        ([lines[0], "nonsense"], "line 2='nonsense' is not JSON"),
        ([lines[0], lines[1].replace('"started"', '"exploded"')], "line 2.kind='exploded' is not known"),
    ):
        journal.write_text("\n".join(broken))
        ran = run("replay", str(journal))
        assert (ran.exit_code, ran.stdout) == (2, "")
        assert says in ran.stderr
        assert "Traceback" not in ran.stderr


def test_replay_of_a_file_that_is_not_there_or_no_text_says_so(tmp_path: Path) -> None:
    assert run("replay", str(tmp_path / "gone.jsonl")).exit_code == 2
    (tmp_path / "photo.jsonl").write_bytes(b"\xff\xfe\x00\x01")
    ran = run("replay", str(tmp_path / "photo.jsonl"))
    assert ran.exit_code == 2
    assert "is not" in ran.stderr


# --- lint


def test_lint_finds_nothing_in_the_procedures_that_ship() -> None:
    ran = run("lint")
    assert ran.exit_code == 0, ran.stdout


def test_lint_says_file_and_line_what_and_what_was_expected(tmp_path: Path) -> None:
    (tmp_path / "broken.yaml").write_text("procedure: broken\ntitel: A slip\n\tsteps: []\n")
    ran = run("lint", str(tmp_path))
    assert ran.exit_code != 0
    assert ran.stdout.splitlines()[0].endswith("broken.yaml:3: tab, expected spaces")
    assert "Traceback" not in ran.stdout + ran.stderr


def test_lint_of_a_folder_that_is_none_ends_with_status_2(tmp_path: Path) -> None:
    assert run("lint", str(tmp_path / "gone")).exit_code == 2


def test_lint_prints_the_schema_of_the_files() -> None:
    ran = run("lint", "--schema")
    assert ran.exit_code == 0
    assert "$defs" in ran.stdout
    assert isinstance(json.loads(ran.stdout), dict)


# --- demo


def test_demo_fills_an_empty_shop_once_and_leaves_a_shop_with_people_alone(tmp_path: Path) -> None:
    first = run("demo", "--data", str(tmp_path / "shop"), "--jobs", "2")
    assert (first.exit_code, first.stderr) == (0, "")
    assert "with 2 finished jobs" in first.stdout
    made = engine(f"sqlite:///{tmp_path / 'shop' / 'baybook.db'}")
    with session(made) as db:
        people, jobs = [one.code for one in everyone(db)], [job.id for job in jobs_in(db, "finished")]
    assert len(jobs) == 2
    again = run("demo", "--data", str(tmp_path / "shop"), "--jobs", "2")
    assert again.exit_code == 0
    assert "was not added" in again.stdout
    with session(made) as db:
        assert ([one.code for one in everyone(db)], [job.id for job in jobs_in(db, "finished")]) == (people, jobs)
    made.dispose()


@pytest.mark.parametrize(
    ("arguments", "env", "says"),
    [
        (["demo", "--jobs", "-1"], {}, "-1"),
        (["demo", "--jobs", "many"], {}, "'many'"),
        (["serve", "--port", "http"], {}, "'http'"),
        (["serve"], {"PORT": "99999"}, "PORT='99999' must be a whole number"),
        (["serve"], {"PORT": "eighty"}, "PORT='eighty' must be a whole number"),
    ],
)
def test_a_setting_that_cannot_be_is_named_with_its_value(
    tmp_path: Path, arguments: list[str], env: dict[str, str], says: str
) -> None:
    ran = run(*arguments, DATA=str(tmp_path / "shop"), **env)
    assert ran.exit_code == 2
    assert says in ran.stderr
    assert "Traceback" not in ran.stderr


def test_a_data_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    ran = run("demo", "--data", str(tmp_path / "file" / "shop"))
    assert ran.exit_code == 2
    assert f"DATA='{str(tmp_path)[:40]}" in ran.stderr
    assert "cannot be used as a folder: Not a directory" in ran.stderr
