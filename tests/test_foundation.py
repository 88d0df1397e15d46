"""What everything else stands on: the folders, the lock files, the copied browser packages, the wheel."""

import importlib.util
import json
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path
from types import ModuleType

import pytest
from fontTools.ttLib import TTFont

from webapp import paths

ROOT = Path(__file__).resolve().parent.parent
LOCKS = ("requirements.lock", "requirements-dev.lock", "requirements-node.lock")
PIN = re.compile(r"^([a-z0-9-]+)(?:\[[a-z,]+\])?==([^ ;]+)", re.MULTILINE)


def plain(requirement: str) -> str:
    """The name a lock file uses for `Fluent.Runtime>=0.4`."""
    return re.sub(r"[-_.]+", "-", re.split(r"[\[<>=!~; ]", requirement)[0]).lower()


def pins(lock: str) -> dict[str, str]:
    return dict(PIN.findall((ROOT / lock).read_text()))


def script(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, ROOT / f".ci/{name}.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_a_checkout_reads_its_own_folders() -> None:
    assert (paths.STATIC, paths.PROCEDURES) == (ROOT / "static", ROOT / "procedures")
    assert all(folder.is_dir() for folder in (paths.STATIC, paths.PROCEDURES))


@pytest.mark.parametrize("lock", [*LOCKS, "static/package-lock.json"])
def test_a_lock_file_names_no_registry_host(lock: str) -> None:
    text = (ROOT / lock).read_text()
    assert not re.findall(r"--(?:extra-)?index-url|--find-links|registry\.|pypi|pythonhosted|npmjs|file:", text)
    assert '"resolved"' not in text


@pytest.mark.parametrize("lock", LOCKS)
def test_every_locked_package_has_hashes(lock: str) -> None:
    entries = re.split(r"\n(?=[a-z])", (ROOT / lock).read_text().split("\n", 2)[2])
    assert [entry for entry in entries if "--hash=sha256:" not in entry] == []


def test_the_lock_files_hold_what_the_project_asks_for() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())
    runtime, dev = project["project"]["dependencies"], project["dependency-groups"]["dev"]
    assert {plain(name) for name in runtime} - pins("requirements.lock").keys() == set()
    assert {plain(name) for name in runtime + dev} - pins("requirements-dev.lock").keys() == set()


def test_the_tests_run_on_the_versions_that_are_served() -> None:
    served, tested = pins("requirements.lock"), pins("requirements-dev.lock")
    assert {name: tested.get(name) for name in served} == served


def test_the_browser_packages_are_those_of_the_lock_file() -> None:
    asked = json.loads((ROOT / "static/package.json").read_text())
    locked = json.loads((ROOT / "static/package-lock.json").read_text())["packages"]
    for name, version in (asked["dependencies"] | asked["devDependencies"]).items():
        assert locked[f"node_modules/{name}"]["version"] == version
        installed = json.loads((ROOT / f"static/node_modules/{name}/package.json").read_text())
        assert installed["version"] == version


def test_each_file_the_pages_load_is_copied_byte_for_byte_but_for_the_typefaces() -> None:
    vendor = script("vendor")
    for name, source in vendor.FILES.items():
        original, copied = (vendor.MODULES / source).read_bytes(), (ROOT / "static/vendor" / name).read_bytes()
        assert 0 < len(copied) < len(original) if name.endswith(".woff2") else copied == original


@pytest.mark.parametrize("name", ["next", "mono"])
def test_a_slimmed_typeface_still_writes_every_sign_of_a_label(name: str) -> None:
    font = TTFont(ROOT / f"static/vendor/fonts/{name}.woff2")
    assert set(map(ord, "ABCDEFGHJKLMNPRSTUVWXYZ0123456789.-")) <= set(font.getBestCmap())


def test_the_typeface_of_texts_comes_in_every_weight_used_and_that_of_codes_in_one() -> None:
    texts, codes = (TTFont(ROOT / f"static/vendor/fonts/{name}.woff2") for name in ("next", "mono"))
    (weight,) = texts["fvar"].axes
    assert (weight.minValue, weight.maxValue) == (400, 700)
    assert ("fvar" in codes, codes["OS/2"].usWeightClass) == (False, 600)


@pytest.fixture(scope="session")
def unpacked_wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = folder.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder / "site")
    return folder / "site"


def test_the_wheel_brings_its_own_folders(unpacked_wheel: Path) -> None:
    say = "import webapp.paths as p; print(p.STATIC, p.PROCEDURES, sep='\\n')"
    # -I keeps this checkout off the path; only the unpacked wheel is put back on it.
    code = f"import sys; sys.path.insert(0, {str(unpacked_wheel)!r}); {say}"
    ran = subprocess.run([sys.executable, "-I", "-B", "-c", code], check=True, capture_output=True, text=True, cwd="/")
    share = unpacked_wheel / "webapp/_share"
    assert ran.stdout.split() == [str(share / "static"), str(share / "procedures")]


def test_the_wheel_holds_every_file_of_the_app_and_nothing_of_the_workshop(unpacked_wheel: Path) -> None:
    workshop = script("build_hook").WORKSHOP_ONLY
    share = unpacked_wheel / "webapp/_share"
    for room, place in (("webapp", unpacked_wheel), ("static", share), ("procedures", share)):
        files = {path.relative_to(ROOT) for path in (ROOT / room).rglob("*") if path.is_file()}
        wanted = {path for path in files if not workshop & set(path.parts) and "__pycache__" not in path.parts}
        assert len(wanted) > 0
        assert {path for path in files if (place / path).is_file()} == wanted
