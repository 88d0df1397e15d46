"""The vehicles and their figures: those that ship, and the shop's own, written down by one and approved by another."""

from flask import Blueprint

pages = Blueprint("specs", __name__, url_prefix="/specs", template_folder="templates")

from webapp.web.specs import deciding, editing, listing  # noqa: E402, F401 - they hang their routes on the blueprint
