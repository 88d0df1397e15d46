"""The wiring: which rooms make up the application. No rules here."""

from datetime import date, timedelta

from flask import Flask, Response, send_from_directory

from webapp.config import Settings
from webapp.core.view.shop import OFFICE_PAGES, PAGES
from webapp.library.load import load
from webapp.library.tongues import tongues
from webapp.messages import say, sentence, tongue
from webapp.paths import STATIC
from webapp.stocks import Stocks
from webapp.storage import engine as storage
from webapp.storage import own
from webapp.storage.migrate import upgrade
from webapp.web import (
    again,
    backups,
    cookie,
    forms,
    guard,
    jobs,
    kit,
    labels,
    language,
    outbox,
    packing,
    people,
    phones,
    privacy,
    pwa,
    records,
    refusals,
    releases,
    scheme,
    shops,
    specs,
    times,
    who,
)
from webapp.web.answer import Application
from webapp.web.jobs.page import lock

LARGEST_UPLOAD = 42_000_000


def make_app(settings: Settings) -> Flask:
    app = Application("webapp.web", static_folder=str(STATIC), static_url_path="/static")
    app.session_interface = cookie.Remembered()
    app.config.update(
        SECRET_KEY=settings.secret,
        MAX_CONTENT_LENGTH=LARGEST_UPLOAD,
        LARGER_UPLOADS={},
        SESSION_COOKIE_SAMESITE="Strict",
        SESSION_COOKIE_HTTPONLY=True,
        PERMANENT_SESSION_LIFETIME=timedelta(days=30),
        SESSION_REFRESH_EACH_REQUEST=False,  # the cookie says whose badge was scanned: written then, not at every tap
        SEND_FILE_MAX_AGE_DEFAULT=timedelta(hours=1),
    )
    engine = storage.engine(settings.database_url, connections=settings.database_connections)
    upgrade(engine)
    with storage.session(engine) as held:
        journal = own.name_of(held)
    app.extensions |= {
        "engine": engine,
        "settings": settings,
        "library": load(settings.procedures, settings.length_unit),
        "journal": journal,
    }
    if settings.head_office and settings.read_database_url:
        standby = storage.engine(settings.read_database_url, connections=settings.database_connections)
        app.extensions["standby"] = standby
    app.extensions["tongues"] = tongues(settings.procedures)  # read now, and not by each of the first requests at once
    app.extensions["stocks"] = Stocks(settings.length_unit, app.extensions["tongues"])
    app.extensions["stocks"].begin(engine)
    app.jinja_env.globals.update(say=say, sentence=sentence, current_person=who.current_person, today=date.today)
    app.jinja_env.globals["shop_pages"] = OFFICE_PAGES if settings.head_office else PAGES
    app.jinja_env.globals["lock"] = lock
    app.jinja_env.globals.update(over_plain_http=scheme.over_plain_http, tongue=tongue, languages=language.choices)
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    language.register(app)
    app.before_request(guard.refuse_foreign_forms)
    app.before_request(who.keep_locked)
    app.after_request(guard.add_headers)
    forms.register(app)
    packing.register(app)
    refusals.register(app)
    again.register(app)
    for room in (backups, jobs, kit, labels, outbox, people, phones, privacy, pwa, records, releases, specs, times):
        app.register_blueprint(room.pages)

    if settings.head_office:
        app.register_blueprint(shops.pages)

    @app.get("/favicon.ico")
    def favicon() -> Response:
        return send_from_directory(STATIC / "icons", "baybook.svg")

    return app
