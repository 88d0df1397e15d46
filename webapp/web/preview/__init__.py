"""`baybook preview`: one procedure as a phone shows it, while its files are being written.

An application of its own, without a shop's data and for one person. The page asks every second whether a file of the
library has changed and is renewed when one has; findings of lint stand on top, and below them, where the library cannot
be worked with, the procedure as it was last.
"""

from pathlib import Path

from flask import Flask, Response, render_template, request, send_from_directory

from webapp.core.errors import BadInput, shown
from webapp.library.finding import expected
from webapp.library.sources import sources
from webapp.messages import ENGLISH, say
from webapp.paths import STATIC

from .showing import Preview, changed_at, look

HERE = Path(__file__).parent


def make_preview(folder: Path, name: str) -> Flask:
    """Return the application that shows the procedure `name` of the library in `folder`.

    Raises:
        BadInput: `procedure-unknown`.
    """
    known = sources(folder).procedures
    if name not in known:
        message = f"procedure={shown(name)} is not in {folder.name}, {expected(name, sorted(known))}"
        raise BadInput("procedure-unknown", "procedure", message)
    app = Flask("webapp.web.preview", template_folder=str(HERE / "templates"), static_folder=str(STATIC))
    app.jinja_env.globals.update(say=say, lang=ENGLISH)
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    last: dict[str | None, Preview] = {}

    @app.get("/")
    def show() -> str | tuple[str, int]:
        seen = changed_at(folder)
        if request.args.get("seen") == seen:
            return "", 204
        vehicle = request.args.get("vehicle")
        now = look(folder, name, vehicle, last.get(vehicle))
        last[vehicle] = last[now.vehicle] = now
        whole = "HX-Request" not in request.headers
        return render_template("preview/whole.html" if whole else "preview/procedure.html", one=now, seen=seen)

    @app.post("/<path:_where>")
    def tap(_where: str) -> tuple[str, int]:
        return "", 204  # the forms are the phone's own; nothing is recorded here

    @app.get("/preview.css")
    def style() -> Response:
        return send_from_directory(HERE, "preview.css")

    return app
