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
    from webapp.sync import decisions, routes, signing_in  # noqa: F401 - the two hang themselves on the routes' blueprint
    from webapp.web.app import make_app

    app = make_app(settings)
    app.register_blueprint(routes.exchange)
    openapi.register(app)
    app.config["LARGER_UPLOADS"]["sync.take_import"] = decisions.LARGEST_REFUSED
    return app
