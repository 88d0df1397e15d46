"""In which language the shop answers: the one chosen with this browser, else the first it asks for, else English."""

import pytest
from flask.testing import FlaskClient

from .job import Begin


@pytest.mark.parametrize(
    ("asked", "spoken"),
    [("es-MX, en;q=0.5", "es"), ("en-GB, es;q=0.9", "en"), ("fr, es;q=0.3", "es"), ("fr", "en"), ("", "en")],
)
def test_the_first_language_that_the_browser_asks_for_and_the_shop_has_is_spoken(
    client: FlaskClient, asked: str, spoken: str
) -> None:
    for path in ("/", "/kit", "/no-such-page"):
        answer = client.get(path, headers={"Accept-Language": asked})
        assert f'<html lang="{spoken}">' in answer.text
        assert answer.headers["Content-Language"] == spoken


def test_a_choice_is_kept_and_leads_back_to_where_it_was_made(client: FlaskClient) -> None:
    answer = client.post("/language", data={"language": "es", "back": "/kit"})
    assert (answer.status_code, answer.headers["Location"]) == (303, "/kit")
    assert "<h1>Hoy</h1>" in client.get("/", headers={"Accept-Language": "en"}).text
    client.post("/language", data={"language": "en", "back": "/"})
    assert "<h1>Today</h1>" in client.get("/", headers={"Accept-Language": "es"}).text


@pytest.mark.parametrize("back", ["//other.example/", "/\\other.example", "https://other.example/", ""])
def test_a_choice_leads_to_no_other_site(client: FlaskClient, back: str) -> None:
    assert client.post("/language", data={"language": "es", "back": back}).headers["Location"] == "/"


def test_a_language_that_is_not_there_is_refused_with_those_that_are(client: FlaskClient) -> None:
    answer = client.post("/language", data={"language": "tlh"})
    assert answer.status_code == 400
    assert "language=&#39;tlh&#39; is not here; choose one of en, es" in answer.text


def test_a_job_is_read_in_another_language_and_kept_as_it_is(at: Begin) -> None:
    job = at("chock")
    before = job.client.get(f"/jobs/{job.id}/journal.jsonl").text
    job.client.post("/language", data={"language": "es"})
    page = job.client.get(f"/jobs/{job.id}").text
    assert "Motor parado, freno de estacionamiento puesto" in page
    assert "<b>ADVERTENCIA</b> El vehículo puede rodar y aplastar." in page
    assert "rueda tras. izq." in page  # in the drawing
    refused = job.client.post(f"/jobs/{job.id}", data={"do": "pause", "reason": "lunch"})
    assert "no es un motivo de pausa; elija uno de" in refused.text
    assert job.client.get(f"/jobs/{job.id}/journal.jsonl").text == before
