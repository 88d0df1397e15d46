"""The blueprint of the times pages, which each of their modules adds to."""

from flask import Blueprint

pages = Blueprint("times", __name__, url_prefix="/times", template_folder="templates")

WAYS = (
    ("times.overview", "times-overview"),
    ("times.now", "times-now"),
    ("times.week", "times-week"),
    ("times.kit", "times-kit"),
    ("times.what_if_page", "times-whatif"),
    ("times.learning", "times-learning"),
)
"""What the times pages lead to, and the word for it."""
