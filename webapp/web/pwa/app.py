"""The app as the phone keeps it: one version, named by the hash of everything in it."""

import hashlib
import json
from functools import lru_cache
from pathlib import Path
from typing import Any

from flask import Response, jsonify

from webapp.core.errors import NotFound, shown
from webapp.library.translations import forms
from webapp.messages import languages, plain_words
from webapp.paths import STATIC
from webapp.web import guard, mustache
from webapp.web.pwa import pages

# Of static/app/, which .ci/app.py makes: what a page of the phone loads, and what the worker runs.
SHOWN = ("css/*.css", "icons/*", "vendor/fonts/*", "vendor/*.js", "app/*.js")
DECODER = ("app/reader/*.js", "vendor/zxing/**/*.wasm")
"""The reader of codes: large, and the same through many versions. It is kept beside the app, by its own hash."""
RUN = ("app/worker/*.js",)


@pages.get("/sw.js")
def show_worker() -> Response:
    """The worker, with the app's version and files written at its head, so that a new version is new bytes."""
    files = [*shown_files(), "/app.json", *(f"/words/{code}.json" for code in languages()), "/manifest.webmanifest"]
    parts = [path.name for path in _found(RUN) if path.name != "sw.js"]
    bare = {"html": mustache.render("bare", {}), "policy": guard.POLICY}
    told = json.dumps(
        {
            "version": version(),
            "files": files,
            "parts": parts,
            "languages": languages(),
            "decoder": decoder(),
            "bare": bare,
        }
    )
    text = f"self.APP = {told};\n{(STATIC / 'app/worker/sw.js').read_text(encoding='utf-8')}"
    return Response(text, mimetype="text/javascript", headers={"Cache-Control": "no-cache"})


@pages.get("/app.json")
def show_app() -> Response:
    """Templates, languages and the content policy, for the worker to answer pages with; and of which version."""
    answer = jsonify(_app() | {"version": version()})
    answer.headers["Cache-Control"] = "no-cache"
    return answer


@pages.get("/words/<code>.json")
def show_words(code: str) -> Response:
    """What a language says: its messages (parsed), and how refusals read in it. A phone loads those of one language."""
    if code not in languages():
        known = ", ".join(languages())
        raise NotFound("language-unknown", "language", f"language={shown(code)} is not here; there are {known}")
    answer = jsonify(_words(code))
    answer.headers["Cache-Control"] = "no-cache"
    return answer


@pages.get("/manifest.webmanifest")
def show_manifest() -> Response:
    text = (STATIC / "manifest.webmanifest").read_text(encoding="utf-8")
    return Response(text, mimetype="application/manifest+json", headers={"Cache-Control": "no-cache"})


@lru_cache
def _app() -> dict[str, Any]:
    return {"languages": languages(), "templates": mustache.templates(), "policy": guard.POLICY}


@lru_cache
def _words(code: str) -> dict[str, Any]:
    messages = json.loads((STATIC / "app" / f"{code}.json").read_text(encoding="utf-8"))
    return {"lang": code, "messages": messages, "forms": forms(code), "point": plain_words(code)["decimal-sign"]}


@lru_cache
def shown_files() -> list[str]:
    return [_url(path) for path in _found(SHOWN)]


@lru_cache
def decoder() -> dict[str, Any]:
    """{version, files} of the reader of codes."""
    found = _found(DECODER)
    return {"version": _digest(found), "files": [_url(path) for path in found]}


@lru_cache
def version() -> str:
    """Sixteen hexadecimal digits that differ wherever a file of the app does."""
    return _digest(
        _found((*SHOWN, *RUN, *DECODER, "manifest.webmanifest")),
        json.dumps([_app(), *map(_words, languages())], sort_keys=True),
    )


def _digest(files: list[Path], said: str = "") -> str:
    digest = hashlib.sha256(said.encode())
    for path in files:
        digest.update(path.as_posix().encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()[:16]


def _url(path: Path) -> str:
    return f"/static/{path.relative_to(STATIC).as_posix()}"


def _found(patterns: tuple[str, ...]) -> list[Path]:
    return sorted({path for pattern in patterns for path in STATIC.glob(pattern) if path.is_file()})
