"""Phones: how one comes aboard, those that are paired, and what they brought that waits for a manager."""

from flask import Blueprint

pages = Blueprint("phones", __name__, template_folder="templates")

from webapp.web.phones import arrivals, guide, paired, root  # noqa: E402, F401 - the routes hang themselves on `pages`
