"""What the phone installs: the worker, the app's files and words, and what it needs to work a job alone."""

from flask import Blueprint

pages = Blueprint("pwa", __name__, template_folder="templates")

from webapp.web.pwa import app, asked, kept, pairing  # noqa: E402, F401 - the routes hang themselves on `pages`
