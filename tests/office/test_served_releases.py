"""A release as it is really served: made at the terminal, fetched by itself, taken up by every process at once."""

import shutil
import ssl
import urllib.request
from pathlib import Path

from sqlalchemy.engine import Engine
from sqlmodel import select

from tests import postgres
from tests.cast import ADA
from tests.databases import Databases
from tests.serving import Shop, served, until
from webapp.storage import releases
from webapp.storage.engine import engine, session, writing
from webapp.storage.jobs import create_job
from webapp.storage.tables import Job

from .conftest import NOW, OWNER, Office
from .releasing import CLOSER, WHY, changed
from .test_served import baybook

ASKED = 30
"""Connections enough that each of a server's processes answers some."""


def figures(shop: Shop) -> set[bool]:
    """Whether the distance is the released one, as every process of both servers has it."""
    trusting = ssl.create_default_context(cafile=str(shop.root))
    addresses = (f"http://127.0.0.1:{shop.port}", f"https://127.0.0.1:{shop.https_port}")
    said = set()
    for number in range(2 * ASKED):
        asked = f"{addresses[number % 2]}/specs/kestovar-compact"
        with urllib.request.urlopen(asked, context=trusting if asked.startswith("https") else None) as answer:
            page = answer.read().decode()
        assert ("1350 ± 3 mm" in page) != ("1350 ± 5 mm" in page)
        said.add("1350 ± 3 mm" in page)
    return said


def in_use(made: Engine) -> int:
    with session(made) as db:
        return releases.in_use(db.connection())


def held(made: Engine) -> list[int]:
    with session(made) as db:
        return [one.number for one in releases.every(db)]


def test_a_served_shop_fetches_a_release_and_all_its_processes_turn_together(
    office: Office, databases: Databases, history_folder: Path, tmp_path: Path
) -> None:
    folder, data = tmp_path / "procedures", tmp_path / "shop"
    for place, body in changed(*CLOSER).items():
        (folder / place).parent.mkdir(parents=True, exist_ok=True)
        (folder / place).write_bytes(body)
    shutil.copytree(history_folder / "photos", data / "photos")
    databases.copy(history_folder, data)
    url = postgres.url(office.socket, office.database, OWNER)
    at_office = {"DATABASE_URL": url, "HEAD_OFFICE": "yes", "DATA": str(office.settings.data)}
    at_shop = {"DATA": str(data), "DATABASE_URL": databases.url(data)}
    code = baybook("shop-code", "Bridge Street", "North", **at_office)
    made = engine(databases.url(data))
    with served(office.settings.data, **at_office) as head_office:
        address = f"https://127.0.0.1:{head_office.https_port}"
        baybook("join", address, code, "--authority", str(head_office.root), **at_shop)
        baybook("release", str(folder), "--note", WHY, **at_office)
        with served(data, **at_shop) as shop:
            until(lambda: held(made) == [1])
            assert figures(shop) == {False}
            with writing(made) as db:
                releases.approve(db, 1, releases.CAME_ALONG, ADA.badge, NOW, waits=False)
            assert figures(shop) == {True}
            until(lambda: office.rows("SELECT release FROM office.shop") == [(1,)])
            with writing(made) as db:
                create_job(db, "job-1", "calibration", NOW, phase="open")
            with writing(made) as db:
                releases.approve(db, releases.CAME_ALONG, 1, ADA.badge, NOW, waits=True)
            assert in_use(made) == 1
            with writing(made) as db:
                for job in db.exec(select(Job).where(Job.phase == "open")):
                    job.phase = "abandoned"
                    db.add(job)
            until(lambda: in_use(made) == releases.CAME_ALONG)
            assert figures(shop) == {False}
    made.dispose()
    databases.drop(data)
