"""A shop's own figures: written down by a manager, checked as the library's are, approved by somebody else."""

import re
import shutil
from io import BytesIO
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import ADA, ILYA, NOOR, TOMAS, Someone, scan_badge
from webapp.core.procedure import Library
from webapp.library.lint import lint
from webapp.library.read import parsed
from webapp.paths import PROCEDURES
from webapp.storage import people, specs
from webapp.storage.engine import session, writing

WAGON = "orvane-wagon"
CAMERA = "spec-forward-camera-static"


def newest(engine: Engine, name: str) -> specs.Kept:
    with session(engine) as db:
        found = specs.newest(db, name)
    assert found
    return found


def fields(page: str) -> dict[str, str]:
    """What a part's form would send as it stands."""
    form = page[page.index("/parts/") :]
    sent = dict(re.findall(r'<input[^>]*? name="([^"]+)"[^>]*? value="([^"]*)"', form))
    sent |= dict(re.findall(r'<input type="radio" name="([^"]+)" value="([^"]+)" checked', form))
    for select in re.findall(r'<select[^>]* name="([^"]+)">(.*?)</select>', form, re.DOTALL):
        chosen = re.search(r'value="([^"]*)" selected', select[1]) or re.search(r'value="([^"]*)"', select[1])
        sent[select[0]] = chosen[1] if chosen else ""
    return sent | dict(re.findall(r'<textarea[^>]* name="([^"]+)"[^>]*>(.*?)</textarea>', form, re.DOTALL))


def open_part(client: FlaskClient, name: str, part: str) -> dict[str, str]:
    page = client.get(f"/specs/{name}/parts/{part}")
    assert page.status_code == 200, page.text
    return fields(page.text)


def save(client: FlaskClient, name: str, part: str, **changes: str) -> Any:
    sent = open_part(client, name, part) | {key.replace("__", "."): value for key, value in changes.items()}
    return client.post(f"/specs/{name}/parts/{part}", data=sent)


@pytest.fixture
def copied(client: FlaskClient) -> str:
    """The shop's own copy of a vehicle that ships, with the manager's badge on this phone."""
    scan_badge(client, TOMAS)
    assert client.post("/specs/new", data={"copy": WAGON}).status_code == 303
    return WAGON


def approve(client: FlaskClient, engine: Engine, name: str, who: Someone = ADA) -> Any:
    sent = {"revision": str(newest(engine, name).row.revision), "badge": who.label, "pin": who.pin}
    return client.post(f"/specs/{name}/approve", data=sent)


def test_a_form_sent_as_it_stands_changes_nothing(client: FlaskClient, demo_engine: Engine, copied: str) -> None:
    before = newest(demo_engine, copied)
    for part in ("about", "figures", *(f"spec-{one}" for one in before.document["specs"])):
        assert save(client, copied, part).status_code == 303, part
    assert newest(demo_engine, copied).row == before.row


def test_in_spanish_figures_have_their_comma_and_a_form_sent_as_it_stands_changes_nothing(
    client: FlaskClient, demo_engine: Engine, copied: str
) -> None:
    client.post("/language", data={"language": "es"})
    page = client.get(f"/specs/{copied}/parts/{CAMERA}").text
    assert 'name="figures.yaw.tolerance" value="0,25"' in page
    assert "0 ± 0,25 deg" in page
    assert not re.search(
        r"\d\.\d", re.sub(r"<script.*?</script>|/static/\S+|viewBox=\S+", "", page[page.index("<main") :])
    )
    assert "0 ± 0,25 deg" in client.get(f"/specs/{copied}").text
    before = newest(demo_engine, copied)
    for part in ("about", "figures", *(f"spec-{one}" for one in before.document["specs"])):
        assert save(client, copied, part).status_code == 303, part
    assert newest(demo_engine, copied).row == before.row


@pytest.mark.parametrize(
    ("figure", "typed", "said"),
    [
        ("distance.unit", "deg", "distance 1500 deg is in deg, expected mm or cm or m"),
        ("offset.unit", "deg", "offset 0 deg is in deg, expected mm or cm or m"),
        ("yaw.tolerance", "0", "tolerance 0 deg, expected more than 0"),
        ("yaw.tolerance", "-0,25", "tolerance -0.25 deg, expected more than 0"),
        ("distance.nominal", "-1500", "distance -1500 mm cannot be, expected 100 to 30000 mm"),
        ("board-height.nominal", "999999", "&#39;999999 mm&#39; is more than can be, expected 100,000 mm at most"),
        ("board-height.nominal", "high", "&#39;high&#39; is no quantity, expected a number and its unit"),
        ("distance.tolerance", "5 m", "distance 1500 mm ± 5 m cannot be, expected 100 to 30000 mm"),
        ("light.high", "200", "low 300 lx is not below high 200 lx, expected room between them"),
    ],
)
def test_a_figure_that_cannot_be_is_refused_where_it_stands(
    client: FlaskClient, demo_engine: Engine, copied: str, figure: str, typed: str, said: str
) -> None:
    before = newest(demo_engine, copied).row.revision
    answer = save(client, copied, CAMERA, **{f"figures.{figure}": typed})
    assert answer.status_code == 400
    name = figure.partition(".")[0]
    row = answer.text[answer.text.index(f"<summary><b>{name}</b>") :]
    assert said in row[: row.index("<summary><b>", 20)]  # at its own figure, and with what was typed
    assert f'value="{typed}"' in row or f'value="{typed}" selected' in row
    assert newest(demo_engine, copied).row.revision == before


def test_swapped_units_are_refused_at_both_figures(client: FlaskClient, copied: str) -> None:
    swapped = {"figures.distance.unit": "deg", "figures.yaw.unit": "mm"}
    page = save(client, copied, CAMERA, **swapped).text
    assert "distance 1500 deg is in deg, expected mm or cm or m" in page
    assert "yaw 0 mm is in mm, expected deg" in page


def test_a_vin_pattern_of_another_vehicle_is_refused_by_name(client: FlaskClient, copied: str) -> None:
    page = save(client, copied, "about", vin="0RVWA*\n0TVKC*")
    assert page.status_code == 400
    assert "&#39;0TVKC*&#39; matches VINs of &#39;0TVKC*&#39; (vehicles/tavisk-carrier.yaml:" in page.text


def test_the_same_figures_are_refused_in_spanish(client: FlaskClient, copied: str) -> None:
    client.set_cookie("language", "es")
    page = save(client, copied, CAMERA, **{"figures.yaw.tolerance": "0"})
    assert "tolerancia 0 deg; se espera más de 0" in page.text


def test_every_save_is_a_revision_with_its_author_and_hash(
    client: FlaskClient, demo_engine: Engine, copied: str
) -> None:
    first = newest(demo_engine, copied)
    assert (
        save(client, copied, CAMERA, **{"figures.distance.nominal": "1,51", "figures.distance.unit": "m"}).status_code
        == 400
    )
    assert save(client, copied, CAMERA, **{"figures.distance.nominal": "1 512,5"}).status_code == 303
    second = newest(demo_engine, copied)
    assert (first.row.revision, second.row.revision) == (3, 4)
    assert second.row.made_by == TOMAS.badge
    assert second.row.hash != first.row.hash
    spec = second.document["specs"]["forward-camera-static"]
    assert spec["figures"]["distance"]["nominal"] == "1512.5 mm"
    assert (spec["revision"], second.document["revision"]) == (2, 4)
    with session(demo_engine) as db:
        assert specs.revision_of(db, copied, 3).document == first.document  # still there, as it was
    page = client.get(f"/specs/{copied}/revisions/4").text
    assert "specs.forward-camera-static.figures.distance" in page
    assert "1500 ± 5 mm" in page
    assert "1512.5 ± 5 mm" in page
    assert second.row.hash in page


def test_two_who_change_one_revision_do_not_overwrite_each_other(
    client: FlaskClient, demo_engine: Engine, copied: str
) -> None:
    drawn = open_part(client, copied, CAMERA)
    save(client, copied, CAMERA, source="Leaflet 9")
    late = client.post(f"/specs/{copied}/parts/{CAMERA}", data=drawn | {"source": "Leaflet 8"})
    assert late.status_code == 409
    assert 'value="Leaflet 8"' in late.text
    assert newest(demo_engine, copied).document["specs"]["forward-camera-static"]["source"] == "Leaflet 9"


@pytest.mark.parametrize("who", [NOOR, ILYA, ADA])
def test_only_a_manager_writes(client: FlaskClient, demo_engine: Engine, copied: str, who: Someone) -> None:
    drawn = open_part(client, copied, CAMERA)
    scan_badge(client, who)
    assert client.post(f"/specs/{copied}/parts/{CAMERA}", data=drawn | {"source": "X"}).status_code == 403
    assert client.get(f"/specs/{copied}/parts/{CAMERA}").status_code == 403
    assert client.post("/specs/new", data={"maker": "A", "model": "B"}).status_code == 403
    assert client.post(f"/specs/{copied}/calibrations", data={"add": "rear-camera", "revision": "3"}).status_code == 403
    assert client.get(f"/specs/{copied}").status_code == 200  # everybody may look
    assert newest(demo_engine, copied).row.revision == 3


def test_nobody_approves_what_they_saved_and_a_second_person_does(
    client: FlaskClient, demo_engine: Engine, copied: str
) -> None:
    own = approve(client, demo_engine, copied, TOMAS)
    assert own.status_code == 403
    assert "nobody approves figures they saved themselves" in own.text
    assert approve(client, demo_engine, copied, NOOR).status_code == 403
    wrong = client.post(f"/specs/{copied}/approve", data={"revision": "3", "badge": ADA.label, "pin": "0000"})
    assert wrong.status_code == 403
    assert "pin is not that of Ada Pereira" in wrong.text
    assert (
        client.post(f"/specs/{copied}/approve", data={"revision": "2", "badge": ADA.label, "pin": ADA.pin}).status_code
        == 404
    )
    assert approve(client, demo_engine, copied).status_code == 303
    assert "Revision 3 was approved by Ada Pereira" in client.get(f"/specs/{copied}").text
    assert approve(client, demo_engine, copied).status_code == 409


def test_without_a_source_nothing_is_approved(client: FlaskClient, demo_engine: Engine, copied: str) -> None:
    assert save(client, copied, CAMERA, source=" ").status_code == 303  # a draft may lack it
    page = client.get(f"/specs/{copied}").text
    assert "One thing is left before it can be approved" in page
    assert "Still to be filled in: source." in page
    refused = approve(client, demo_engine, copied)
    assert refused.status_code == 400
    assert "specs.forward-camera-static.source: nothing stands here, expected some text" in refused.text
    with session(demo_engine) as db:
        assert specs.approvals(db) == []


def plan_page(client: FlaskClient, vin: str = "0RVWA4G2XK1000417") -> tuple[str, str]:
    """A job with that VIN, brought to its plan; its path and the page."""
    path = client.post("/jobs/new", data={"vin": vin}).headers["Location"].split("/intake")[0]
    sent = {"vehicle": WAGON, "asked": WAGON, "go": "plan", "repair_order": "RO 1", "odometer_km": "10"}
    sent |= {"reasons": "windscreen-replaced", "q-driven-axles": "front", "q-wheel-size": "standard"}
    assert client.post(f"{path}/intake", data=sent).status_code == 303
    return path, client.get(f"{path}/plan").text


def sheet_of(client: FlaskClient, engine: Engine, path: str) -> dict[str, Any]:
    from webapp.storage.progress import progress_of

    with session(engine) as db:
        return progress_of(db, path.rpartition("/")[2]).sheet


def distance_of(sheet: dict[str, Any]) -> float:
    steps = [one for one in sheet["steps"] if one.get("measure", {}).get("method") == "square"]
    return float(steps[0]["measure"]["target"]["distance_mm"])


def test_only_approved_figures_are_worked_by_and_a_running_job_keeps_its_sheet(
    client: FlaskClient, demo_engine: Engine, copied: str
) -> None:
    save(client, copied, CAMERA, **{"figures.distance.nominal": "1504"})
    path, _ = plan_page(client)
    client.post(f"{path}/start")
    assert distance_of(sheet_of(client, demo_engine, path)) == 1500  # a draft changes nothing
    approve(client, demo_engine, copied)
    later, _ = plan_page(client)
    client.post(f"{later}/start")
    sheet = sheet_of(client, demo_engine, later)
    assert distance_of(sheet) == 1504
    assert distance_of(sheet_of(client, demo_engine, path)) == 1500
    assert sheet["vehicle"]["approved"]["revision"] == sheet["vehicle"]["revision"] == 4
    assert sheet["vehicle"]["approved"]["by"] == ADA.name
    record = client.get(f"{later}/record").text
    assert "Revision 4 was approved by Ada Pereira" in record
    assert "was approved by" not in client.get(f"{path}/record").text
    gone = client.post(
        f"/specs/{copied}/withdraw", data={"reason": "Leaflet recalled", "badge": ADA.label, "pin": ADA.pin}
    )
    assert gone.status_code == 303
    third, _ = plan_page(client)
    client.post(f"{third}/start")
    assert distance_of(sheet_of(client, demo_engine, third)) == 1500  # the one that ships again
    assert distance_of(sheet_of(client, demo_engine, later)) == 1504
    page = client.get(f"/specs/{copied}").text
    assert "Withdrawn: revision 4" in page
    assert "Leaflet recalled" in page


def test_a_withdrawal_says_why_and_needs_something_in_use(
    client: FlaskClient, demo_engine: Engine, copied: str
) -> None:
    signed = {"badge": ADA.label, "pin": ADA.pin}
    assert client.post(f"/specs/{copied}/withdraw", data=signed | {"reason": " "}).status_code == 400
    assert client.post(f"/specs/{copied}/withdraw", data=signed | {"reason": "Wrong"}).status_code == 409
    approve(client, demo_engine, copied)
    assert client.post(f"/specs/{copied}/withdraw", data=signed | {"reason": ""}).status_code == 400
    assert client.post(f"/specs/{copied}/withdraw", data={"reason": "Wrong", "badge": NOOR.label}).status_code == 403


def test_a_vehicle_begun_anew_is_filled_in_part_by_part_and_then_found_by_its_vin(
    client: FlaskClient, demo_engine: Engine, library: Library
) -> None:
    scan_badge(client, TOMAS)
    made = client.post("/specs/new", data={"maker": "Brisk", "model": "Nova 3"})
    name = made.headers["Location"].rpartition("/")[2]
    assert name == "brisk-nova-3"
    about = {"years": "2025-", "vin": "0BRNV*", "outline.length": "4,1 m", "outline.width": "1780"}
    about |= {"outline.wheelbase": "2500", "outline.front-overhang": "800", "outline.track-front": "1520"}
    assert save(client, name, "about", **about, **{"outline.track-rear": "1 530"}).status_code == 303
    client.post(f"/specs/{name}/calibrations", data={"add": "forward-camera-dynamic", "revision": "2"})
    assert save(client, name, "figures", source="Brisk sheet 1").status_code == 303
    model = library.vehicles["tavisk-carrier"]
    for part, figures in (
        ("figures", model.figures),
        ("spec-forward-camera-dynamic", model.specs["forward-camera-dynamic"].figures),
    ):
        drawn = open_part(client, name, part)
        asked = {key.split(".")[1] for key in drawn if key.startswith("figures.")}
        for figure in asked:
            given = (
                figures.get(figure)
                or model.specs["forward-camera-dynamic"].figures.get(figure)
                or model.figures[figure]
            )
            for key in ("value", "nominal", "tolerance", "low", "high"):
                if (number := getattr(given, key)) is not None:
                    drawn[f"figures.{figure}.{key}"] = number.text
        saved = client.post(f"/specs/{name}/parts/{part}", data=drawn | {"source": f"Brisk sheet {part}"})
        assert saved.status_code == 303, saved.text
    assert "left before it can be approved" not in client.get(f"/specs/{name}").text
    assert "2 models" not in client.post("/jobs/new", data={"vin": "0BRNV4G2XK1000417"}).text
    assert approve(client, demo_engine, name).status_code == 303
    path = client.post("/jobs/new", data={"vin": "0BRNV4G2XK1000417"}).headers["Location"]
    assert "Brisk Nova 3" in client.get(path).text


def test_a_file_of_the_librarys_comes_in_and_goes_out_again(
    client: FlaskClient, demo_engine: Engine, tmp_path: Any
) -> None:
    scan_badge(client, TOMAS)
    raw = (PROCEDURES / "vehicles" / f"{WAGON}.yaml").read_bytes()
    sent = client.post("/specs/import", data={"file": (BytesIO(raw), "wagon.yaml")})
    assert sent.status_code == 303, sent.text
    out = client.get(f"/specs/{WAGON}.yaml")
    assert "attachment" in out.headers["Content-Disposition"]
    assert parsed("x", out.data).root.plain() == parsed("x", raw).root.plain()
    shutil.copytree(PROCEDURES, tmp_path / "procedures")
    (tmp_path / "procedures/vehicles" / f"{WAGON}.yaml").write_bytes(out.data)
    assert lint(tmp_path / "procedures") == []


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"", "file is empty"),
        (b"vehicle: x-car\nmaker: [", "not readable as YAML"),
        (b"maker: X\n", "Line 1: lacks &#39;vehicle&#39;"),
        (b"vehicle: x-car\nwings: 2\n", "Line 2: unknown key &#39;wings&#39;"),
        (b"vehicle: x-car\nfigures:\n  tyre-front: {nominal: 240 kPa, tolerance: 0 kPa}\n", "Line 3: tolerance 0 kPa"),
        (b"\xff\xfe", "is not UTF-8"),
    ],
)
def test_a_file_that_cannot_be_is_refused_by_its_lines(
    client: FlaskClient, demo_engine: Engine, raw: bytes, said: str
) -> None:
    scan_badge(client, TOMAS)
    answer = client.post("/specs/import", data={"file": (BytesIO(raw), "x.yaml")})
    assert answer.status_code == 400
    assert said in answer.text
    with session(demo_engine) as db:
        assert specs.all_newest(db) == []


def test_figures_that_fit_no_longer_stop_nobody_elses_work(
    client: FlaskClient, demo_engine: Engine, copied: str
) -> None:
    """A new version may ask for a figure that an approved revision does not have."""
    kept = newest(demo_engine, copied)
    del kept.document["specs"]["forward-camera-static"]["figures"]["bar"]
    with writing(demo_engine) as db:
        specs.save(db, kept.document | {"revision": 9}, 3, TOMAS.badge, "2026-03-02T08:00:00.000Z")
        specs.approve(db, copied, 9, ADA.badge, "2026-03-02T08:01:00.000Z")
        assert people.person(db, ADA.badge).name == ADA.name
    assert "no longer fits the procedures" in client.get("/specs").text
    path, _ = plan_page(client)
    client.post(f"{path}/start")
    assert distance_of(sheet_of(client, demo_engine, path)) == 1500


def test_a_question_and_other_figures_for_an_answer_are_added_and_taken_away(
    client: FlaskClient, demo_engine: Engine, copied: str
) -> None:
    drawn = {
        "revision": "3",
        "ask.driven-axles.front": "yes",
        "ask.driven-axles.all": "yes",
        "ask.driven-axles.rear": "yes",
    }
    drawn |= {"ask.wheel-size.standard": "yes", "ask.wheel-size.large": "yes"}
    assert client.post(f"/specs/{copied}/parts/questions", data=drawn).status_code == 303
    asked = newest(demo_engine, copied).document["qualifiers"]
    assert [option["value"] for option in asked[0]["options"]] == ["front", "all", "rear"]
    client.post(f"/specs/{copied}/calibrations", data={"answer": "driven-axles:rear", "revision": "4"})
    assert (
        save(
            client, copied, "variant-1", **{"figures.ride-rear.nominal": "390", "figures.ride-rear.tolerance": "10"}
        ).status_code
        == 303
    )
    assert newest(demo_engine, copied).document["variants"][1]["only-if"] == {"driven-axles": "rear"}
    client.post(f"/specs/{copied}/calibrations", data={"remove": "variant-1", "revision": "6"})
    assert len(newest(demo_engine, copied).document["variants"]) == 1
    for wrong in (
        {"add": "moon-lamp"},
        {"remove": "spec-moon"},
        {"answer": "driven-axles:sideways"},
        {"remove": "variant-7"},
    ):
        assert client.post(f"/specs/{copied}/calibrations", data=wrong | {"revision": "7"}).status_code in (400, 404)
    assert newest(demo_engine, copied).row.revision == 7


def test_one_that_ships_is_shown_and_copied_but_not_changed(client: FlaskClient) -> None:
    scan_badge(client, TOMAS)
    assert "Copy this one" in client.get("/specs/tavisk-carrier").text
    assert client.get("/specs/tavisk-carrier.yaml").data.startswith(b"# yaml-language-server")
    for answer in (
        client.get("/specs/tavisk-carrier/parts/about"),
        client.post("/specs/tavisk-carrier/parts/about", data={"maker": "X"}),
        client.post("/specs/tavisk-carrier/calibrations", data={"remove": "spec-headlamp-zero"}),
    ):
        assert answer.status_code == 400
        assert "ships with the library; copy it first" in answer.text
    assert client.get("/specs/moon-buggy").status_code == 404
    assert client.post("/specs/new", data={"maker": "", "model": "X"}).status_code == 400
