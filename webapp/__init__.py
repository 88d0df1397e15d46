"""Baybook: a job guide for driver-assistance calibration that goes along on the phone."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from flask import Flask

    from webapp.config import Settings


def create_app(settings: "Settings") -> "Flask":
    """The whole application for these settings: database brought up to date, pages wired.

    Serving it is somebody else's job.
    """
    from webapp import openapi
    from webapp.storage import office as head_office
    from webapp.sync import decisions, office, office_kit, office_releases, routes, signing_in  # noqa: F401 - hang themselves on a blueprint
    from webapp.web.app import make_app

    if settings.head_office:
        head_office.prepare(settings.database_url)
    app = make_app(settings)
    app.register_blueprint(routes.exchange)
    if settings.head_office:
        app.register_blueprint(office.office)
    openapi.register(app, settings.head_office)
    app.config["LARGER_UPLOADS"]["sync.take_import"] = decisions.LARGEST_REFUSED
    return app
