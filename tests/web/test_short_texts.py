"""The short text of a step: chosen at the step or on the people's page, for one person and one procedure."""

import re
import subprocess
import sys

import pytest
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import ADA, ILYA, NOOR, Someone, scan_badge
from webapp.storage import people
from webapp.storage.engine import session

from .job import AtJob, Begin

SHORT = "Once round; look for damage and stickers."
FULL = "Walk once round the vehicle; look for damage and stickers near every sensor."
HEADING = re.compile(r'<h2 class="do"[^>]*>([^<]*)</h2>')
HTMX = {"HX_Request": "true"}

ELSEWHERE = """
import sys
from webapp.storage import people
from webapp.storage.engine import engine, writing
url, badge, procedure, texts = sys.argv[1:]
with writing(engine(url)) as db:
    people.choose_texts(db, badge, procedure, texts)
"""


def in_another_process(job: AtJob, who: Someone, procedure: str, texts: str) -> None:
    url = job.engine.url.render_as_string(hide_password=False)
    subprocess.run([sys.executable, "-c", ELSEWHERE, url, who.badge, procedure, texts], check=True)


def heading(text: str) -> str:
    (found,) = HEADING.findall(text)
    return str(found)


def read_short(engine: Engine, who: Someone) -> tuple[str, ...]:
    with session(engine) as db:
        return people.read_of(people.person(db, who.badge).short)


def test_one_tap_at_the_step_shows_the_short_text_and_another_the_full_one_again(at: Begin) -> None:
    job = at("/walk-round")
    before = job.events()
    assert heading(job.client.get(job.url).text) == FULL
    short = job.send({"do": "texts", "step": job.step["id"], "texts": "short"}, **HTMX)
    assert (short.status_code, heading(short.text)) == (200, SHORT)
    assert f'<p data-say="shown">{FULL}</p>' in short.text
    assert heading(job.client.get(job.url).text) == SHORT
    assert heading(job.client.get(f"{job.url}/steps/{job.step['id']}").text) == SHORT
    assert FULL in job.client.get(f"{job.url}/steps").text
    assert job.send({"do": "texts", "step": job.step["id"], "texts": "full"}).status_code == 303
    assert heading(job.client.get(job.url).text) == FULL
    assert job.events() == before


def test_a_choice_counts_for_its_procedure_and_its_person_only(at: Begin) -> None:
    job = at("/walk-round")
    job.send({"do": "texts", "step": job.step["id"], "texts": "short"})
    assert read_short(job.engine, NOOR) == ("vehicle-ready",)
    scan_badge(job.client, ADA)
    assert heading(job.client.get(job.url).text) == FULL
    scan_badge(job.client, NOOR)
    other = next(one for one in job.sheet["steps"] if one["section"] != "vehicle-ready" and one["short"])
    assert heading(job.client.get(f"{job.url}/steps/{other['id']}").text) == other["do"]


def test_cautions_and_what_a_step_asks_for_stand_beside_the_short_text(at: Begin) -> None:
    job = at("/chock")
    full = job.client.get(job.url).text
    assert job.step["cautions"]
    job.send({"do": "texts", "step": job.step["id"], "texts": "short"})
    short = job.client.get(job.url).text
    assert heading(short) == job.step["short"] != heading(full)
    for part in (
        r'<div class="caution .*?</p></div>',
        r"<form .*?data-main.*?</form>",
        r'<figure class="drawing">.*?</figure>',
    ):
        assert re.findall(part, short) == re.findall(part, full)


def test_a_page_is_read_as_was_chosen_in_another_process_since_the_last_tap(at: Begin) -> None:
    job = at("/walk-round")
    following = job.sheet["steps"][1]
    job.send({"do": "note", "text": "Now the person is in memory."}, **HTMX)
    in_another_process(job, NOOR, "vehicle-ready", "short")
    answer = job.send(job.form("choose", option=job.step["options"][0]["value"]), **HTMX)
    assert job.state.current == following["id"]
    assert heading(answer.text) == following["short"] != following["do"]
    in_another_process(job, NOOR, "vehicle-ready", "full")
    answer = job.send({"do": "note", "text": "Still at the same step."}, **HTMX)
    assert heading(answer.text) == following["do"]
    assert [event.data.get("text") for event in job.events() if event.kind == "noted"] == [
        "Now the person is in memory.", "Still at the same step.",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("who", "sent", "status", "message"),
    [
        (ILYA, {}, 403, "texts=short: an apprentice's texts are set on the people's page"),
        (NOOR, {"texts": "long"}, 400, "texts='long' must be one of full, short"),
        (NOOR, {"step": "x/y"}, 400, "step='x/y' is not on this job's sheet"),
        (None, {}, 403, "nobody's badge was scanned on this phone"),
    ],
)
def test_a_choice_that_cannot_be_made_says_why_and_changes_nothing(
    at: Begin, who: Someone | None, sent: dict[str, str], status: int, message: str
) -> None:
    job = at("/walk-round", person=who or NOOR)
    if who is None:
        job.client.post("/badge", data={"leave": "1"})
    answer = job.send({"do": "texts", "step": job.step["id"], "texts": "short"} | sent)
    assert answer.status_code == status
    assert message in answer.text
    assert read_short(job.engine, who or NOOR) == ()
    assert heading(job.client.get(job.url).text) == FULL


def test_a_supervisor_ticks_what_an_apprentice_reads_in_short(
    client: FlaskClient, demo_engine: Engine, at: Begin
) -> None:
    scan_badge(client, ADA)
    page = client.get(f"/people/{ILYA.badge}").text
    assert 'name="short" value="vehicle-ready"' in page
    assert "Short text: of nothing" in page
    sent = {"name": ILYA.name, "role": ILYA.role, "active": "yes", "short": ["vehicle-ready", "floor-survey"]}
    assert client.post(f"/people/{ILYA.badge}", data=sent).status_code == 403  # not signed
    assert read_short(demo_engine, ILYA) == ()
    assert client.post(f"/people/{ILYA.badge}", data={**sent, "your_pin": ADA.pin}).status_code == 303
    assert read_short(demo_engine, ILYA) == ("floor-survey", "vehicle-ready")
    page = client.get(f"/people/{ILYA.badge}").text
    assert 'value="vehicle-ready" checked' in page
    assert "Short text: of 2 procedures" in page
    job = at("/walk-round", person=ILYA)
    shown = job.client.get(job.url).text
    assert heading(shown) == SHORT
    assert 'value="texts"' not in shown  # no button to change it


def test_a_procedure_that_is_not_there_is_refused_and_what_was_ticked_stays(
    client: FlaskClient, demo_engine: Engine
) -> None:
    scan_badge(client, ADA)
    sent = {"name": ILYA.name, "role": ILYA.role, "active": "yes", "your_pin": ADA.pin, "short": ["floor-survey", "x"]}
    answer = client.post(f"/people/{ILYA.badge}", data=sent)
    assert answer.status_code == 400
    assert "short=&#39;x&#39; is none of the procedures here" in answer.text
    assert 'value="floor-survey" checked' in answer.text
    assert read_short(demo_engine, ILYA) == ()


def test_the_buttons_are_there_in_spanish_too(at: Begin) -> None:
    job = at("/walk-round")
    job.client.post("/language", data={"language": "es"})
    assert "Leer esta parte con el texto corto" in job.client.get(job.url).text
    page = job.send({"do": "texts", "step": job.step["id"], "texts": "short"}, **HTMX).text
    assert "Texto completo" in page
    assert "Leer esta parte con el texto completo" in page
    assert heading(page) not in (SHORT, FULL)
