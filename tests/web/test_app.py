"""What a phone installs: one classic worker, its parts, and every file that its pages load."""

import json
import re
from pathlib import Path

from flask.testing import FlaskClient

from webapp.paths import STATIC

TEMPLATES = Path(__file__).parents[2] / "webapp/web"


def told(worker: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = json.loads(worker.partition(";\n")[0].removeprefix("self.APP = "))
    return found


def test_the_worker_is_a_classic_script_for_browsers_that_start_no_module(client: FlaskClient) -> None:
    worker = client.get("/sw.js")
    assert worker.mimetype == "text/javascript"
    assert not re.search(r"(^|[;}\s])(import|export)[\s{(]", worker.text.partition(";\n")[2])


def test_every_file_and_part_that_the_worker_names_is_served(client: FlaskClient) -> None:
    app = told(client.get("/sw.js").text)
    parts = [f"/static/app/worker/{name}" for name in app["parts"]]
    assert parts
    for path in [*app["files"], *parts]:
        with client.get(path) as answer:
            assert answer.status_code == 200, path


def test_pages_load_only_scripts_that_the_worker_keeps(client: FlaskClient) -> None:
    kept = told(client.get("/sw.js").text)["files"]
    pages = [*STATIC.glob("pages/*.mustache"), *TEMPLATES.rglob("*.html")]
    named = {path for page in pages for path in re.findall(r'<script[^>]* src="([^"]+)"', page.read_text())}
    charts = {"/static/app/charts/charts.js"}  # of the times pages, which no phone answers or takes along
    assert {"/static/vendor/htmx.min.js", "/static/app/hands.js"} <= named - charts <= set(kept)
    assert charts <= named
    assert charts.isdisjoint(kept)
